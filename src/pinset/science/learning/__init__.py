"""What a log teaches of a load, and how far that may be off."""
