"""The slot of the sheet, what lines it and what fits in."""
