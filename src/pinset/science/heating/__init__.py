"""How heat goes into a load: what it is made of, and the core's curve."""
