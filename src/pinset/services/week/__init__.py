"""The coming week, on paper and as a calendar."""
