"""A data logger's file of a cook, read in whatever layout it comes."""
