"""A pack on disk: planned, made (bodies in a worker), read back, exchanged whole."""
