"""The terminal: thin commands that call one service each and print the result."""
