"""Standard tables, read from `recipes/data` with their sources."""
