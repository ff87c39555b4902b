"""TODO geometry/drafting."""
