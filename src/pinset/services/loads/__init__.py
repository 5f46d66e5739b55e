"""Vessels on their way through a cook: soaked, mixed, filled, loaded, opened, cool."""
