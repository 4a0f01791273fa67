"""Product lines: parts, curves, pairings, loading."""
