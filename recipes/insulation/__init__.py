"""TODO recipes/insulation."""
