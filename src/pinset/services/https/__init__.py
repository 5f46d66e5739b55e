"""Https by the farm's own certificate: made, renewed, told, taken back."""
