"""File formats, one writer and one reader each: DXF, PDF, SVG, STEP, STL; a design kept inside each."""
