"""Many designs or many readings: record, compare, vary, rank, look up."""
