"""Kept axes with every revision; the files of the user stay the place where the data live."""
