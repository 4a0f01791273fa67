"""Demand against product data: one function per check, and the ledger over them."""
