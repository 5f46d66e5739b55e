"""During a cook: its readings, how it stands, and what is said of it."""
