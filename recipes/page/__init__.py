"""The build sheet: pictures and steps of one motor, as plain data that a writer turns into a page."""
