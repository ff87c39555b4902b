"""TODO recipes/manufacturing."""
