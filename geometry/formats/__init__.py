"""Files of shapes and drawings: DXF, PDF, SVG, STEP and STL, written and read back."""
