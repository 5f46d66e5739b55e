"""From the farm's records to a problem: recipes, stock, and what days can hold."""
