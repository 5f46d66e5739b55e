"""A cook's log judged: its cores, its chamber, and what can't be."""
