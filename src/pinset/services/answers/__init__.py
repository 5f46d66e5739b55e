"""What people say they did, written down once, and taken back."""
