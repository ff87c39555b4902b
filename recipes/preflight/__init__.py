"""Inspecting any cut file as a shop would."""
