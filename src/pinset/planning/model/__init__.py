"""The planning programme: columns, rows, and what limits a day."""
