"""Cooks: what is said of loads, rules and instruments, whenever a cook is spoken of."""
