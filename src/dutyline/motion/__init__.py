"""Phases to smooth pieces to the cycle."""
