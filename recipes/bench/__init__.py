"""What the bench showed, held against what the design expects: leads, voltages, heat, heights."""
