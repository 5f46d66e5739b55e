"""Questions to the planner: can I promise it, how big must I be."""
