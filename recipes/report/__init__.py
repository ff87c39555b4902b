"""The build sheet of one motor and the list of what to order: said as plain data, then written as HTML."""
