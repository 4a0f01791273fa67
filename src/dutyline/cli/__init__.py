"""Arguments to verb, result to text or JSON."""
