"""TODO recipes/report."""
