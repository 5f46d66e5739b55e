"""A bench session: who, where, what was made of what, in which order, how long it stood open."""
