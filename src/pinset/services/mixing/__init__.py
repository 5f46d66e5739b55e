"""What goes into a mix: the mixing card, what was really weighed, the cheapest blend."""
