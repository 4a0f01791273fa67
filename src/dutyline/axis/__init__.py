"""The axis file: what may stand in it, reading, open questions, writing."""
