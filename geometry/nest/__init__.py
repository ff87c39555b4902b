"""Laying pieces on a blank."""
