"""How big a farm must be for what leaves it every week."""
