"""What `pinset check` looks at, one thing to a file."""
