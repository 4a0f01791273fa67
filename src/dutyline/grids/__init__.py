"""Tables as found in files of any form: cells with their places, before anything is understood."""
