"""Axis to speed, torque and power over the cycle at each named shaft."""
