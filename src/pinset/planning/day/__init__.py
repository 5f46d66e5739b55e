"""One day's work fitted round the hours that do not move."""
