"""Losses: what is getting in, where, since when, and what to do with the sister lots."""
