"""Masses, water, nitrogen of a mix, and the cheapest blend that meets limits."""
