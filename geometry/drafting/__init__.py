"""Technical drawings in sheet millimetres: views, dimensions, notes, symbols, title block, charts."""
