"""Standard tables, read from `recipes/tables/data` with their sources."""
