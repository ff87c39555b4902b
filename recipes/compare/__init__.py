"""Two or more designs side by side: figures, differences, and which is better for what."""
