"""TODO recipes/stator."""
