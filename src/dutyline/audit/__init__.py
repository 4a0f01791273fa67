"""Audit of product data: figures that contradict each other or the rest of their family."""
