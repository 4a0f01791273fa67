"""What a product line offers, computed from its rows alone."""
