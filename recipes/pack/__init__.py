"""The edge: files written, read back and exchanged in one step."""
