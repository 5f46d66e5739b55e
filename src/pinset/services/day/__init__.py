"""The day as it is laid out: its hours, its order, and what is said beside its jobs."""
