"""What a sheet of lines and arcs really is: chains, crossings, minimum features, likeness, symmetry."""
