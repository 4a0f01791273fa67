"""Verdict to a document: tree, figures, PDF."""
