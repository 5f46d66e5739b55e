"""Outlets: what each is to get of what no promise takes, and what it got."""
