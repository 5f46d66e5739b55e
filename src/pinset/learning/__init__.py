"""What a farm's own records say of its routes: pure statistics on what was written down."""
