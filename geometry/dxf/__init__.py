"""DXF: cut files written, any file read, by our own reader."""
