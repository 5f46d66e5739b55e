"""Books: lots, rooms, buyers and the farm's own records, seen and changed."""
