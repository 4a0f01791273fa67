"""What has to be ordered for a verdict: every piece, why it is there, and what is still open."""
