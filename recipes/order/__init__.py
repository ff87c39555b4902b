"""The list of everything to order."""
