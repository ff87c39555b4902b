"""Bodies in words: extruded, turned, cut, rounded, put together."""
