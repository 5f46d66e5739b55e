"""Upkeep: what is due, what was done, how it is to be done, and who has read that."""
