"""TODO recipes/shaft."""
