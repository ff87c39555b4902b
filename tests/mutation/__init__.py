"""Break the code one small step at a time and see whether a test goes red; see `__main__`."""
