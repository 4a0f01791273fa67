"""Verdicts that were kept: read, found their axis, and judged anew on another edition."""
