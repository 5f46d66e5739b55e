"""The board: the plan by day and place, and what people fix there by hand."""
