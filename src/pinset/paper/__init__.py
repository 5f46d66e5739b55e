"""What is printed: exact millimetres, the same bytes each time, no word of its own on the farm."""
