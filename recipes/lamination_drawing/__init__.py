"""The lamination's drawing: the sheet as reference beside its cut file."""
