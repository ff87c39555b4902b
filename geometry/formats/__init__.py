"""TODO geometry/formats."""
