"""The search for a plan, and what is given up to find one."""
