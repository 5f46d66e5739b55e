"""Before a cook: worked out for its load, with what newer logs say against it."""
