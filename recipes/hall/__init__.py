"""Hall sensors."""
