"""The verbs: one module each, and the records they return."""
