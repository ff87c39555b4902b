"""Plane shapes made of exact lines and arcs, and their one-way translations to files.

This package knows no motor. Lengths are millimetres, angles radians. Importing it loads
nothing beyond the standard library; each writer loads its own library when it is called.
"""

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import Point
from geometry.segment import Arc, Line

__all__ = ["Arc", "GeometryError", "Line", "Outline", "Part", "Point", "Region"]
