"""What the farm's own records say of its routes."""
