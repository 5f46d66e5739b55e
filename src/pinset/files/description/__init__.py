"""The farm's description: `farm.toml` and its tables, read and written."""
