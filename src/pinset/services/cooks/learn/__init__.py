"""Learning a load from the log of its cook."""
