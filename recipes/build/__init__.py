"""TODO recipes/build."""
