"""Tables of any form, told by a mapping file, as the files of a product line."""
