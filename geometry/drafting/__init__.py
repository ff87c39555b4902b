"""Sheets of paper: drawings, views, dimensions, symbols, labels, frames and whether they can be read."""
