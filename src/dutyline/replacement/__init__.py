"""Equivalents for an old motor: what its plate says, what a line offers in its place."""
