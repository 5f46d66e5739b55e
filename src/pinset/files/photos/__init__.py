"""Photos that are handed in to be kept."""
