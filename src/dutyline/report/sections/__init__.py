"""The parts of the report, each from a verdict to sections of the document tree."""
