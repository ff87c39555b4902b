"""Paper: drawings, dimensions, pages at true scale, and their writers."""
