"""TODO recipes/cli."""
