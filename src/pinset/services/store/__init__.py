"""The cold store: how long things keep there, what is past, too cold or too many."""
