"""Control charts: when a share, a count or a value has left what was expected of it."""
