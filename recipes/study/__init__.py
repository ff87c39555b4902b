"""TODO recipes/study."""
