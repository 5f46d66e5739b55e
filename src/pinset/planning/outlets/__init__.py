"""What is left beyond promises, and where it goes."""
