"""STEP: exact bodies written from lines and arcs, and read back."""
