"""Figures as SVG text at print size: one unit is one point."""
