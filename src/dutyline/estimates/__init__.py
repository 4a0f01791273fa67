"""Data that a product line does not state, estimated by named methods where that is asked for."""
