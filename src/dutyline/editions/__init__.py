"""Two editions of a product line against each other."""
