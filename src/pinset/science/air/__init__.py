"""Air of clean places: what it carries, and what of that settles."""
