"""Kerf, sheet, stack and nest: what the shop needs."""
