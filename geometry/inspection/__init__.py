"""What any outline can be asked: clearance, crossings, nesting, symmetry, and whether two are the same."""
