"""Bearing and stator seats: limits, steps for the bench, warm fits."""
