"""TODO geometry/inspection."""
