"""What the winding card shows."""
