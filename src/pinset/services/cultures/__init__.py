"""Cultures: the cold shelf of tubes, how they grow, what would be lost with a fridge."""
