"""Physics, chemistry and growth: pure functions of numbers and arrays."""
