"""TODO geometry/printing."""
