"""A plan carried out in many seasons, as chance may have it."""
