"""Looking at outlines from anywhere: chains, crossings, webs, nesting, symmetry."""
