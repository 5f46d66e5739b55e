"""Air: clean rooms, benches, grow rooms and what happens when something stops, in words."""
