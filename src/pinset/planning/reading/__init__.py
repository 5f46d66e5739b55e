"""From the solver's numbers to a plan in words: what is used where, what is short, and why."""
