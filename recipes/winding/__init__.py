"""Slots, poles, coils, turns and wire."""
