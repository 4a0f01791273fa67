"""What would make a combination pass, how far each input may go, and which ratios work."""
