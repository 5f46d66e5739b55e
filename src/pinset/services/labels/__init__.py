"""Labels of lots and units: what they say, on which paper, and what was printed."""
