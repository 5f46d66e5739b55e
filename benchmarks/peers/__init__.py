"""General methods for the same work, written or called as an engineer without ours would."""
