"""The stack's drawing: section, view from the lead side, one tooth's end, what it is made of."""
