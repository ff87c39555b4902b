"""Random designs over the whole range of the design file; `python -m tests.random` runs many."""
