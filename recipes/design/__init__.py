"""The design file as a model: one module a table, every field with unit, meaning and range."""

from recipes.design.model import Design

__all__ = ["Design"]
