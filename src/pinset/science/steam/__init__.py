"""Steam: its saturation line, what gauges read, and what air does to it."""
