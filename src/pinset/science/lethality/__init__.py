"""Lethality: what a curve earns, until when it is enough, what survives."""
