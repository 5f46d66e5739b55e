"""Looking at lots and walking through rooms: what is asked, what is written, what is told."""
