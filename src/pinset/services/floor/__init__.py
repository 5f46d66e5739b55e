"""What is done at the bench and in the rooms: scanned, taken in hand and written down."""
