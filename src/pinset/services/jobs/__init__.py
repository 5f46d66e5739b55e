"""Jobs: what is to be done on a day, from the plan and from what is alive."""
