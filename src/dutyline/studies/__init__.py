"""What is worked out around a verdict in time or by chance, when it is asked for."""
