"""Paper rings that number the teeth."""
