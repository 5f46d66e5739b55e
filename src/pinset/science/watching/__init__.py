"""A cook while it goes on."""
