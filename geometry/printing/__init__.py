"""Pages at true scale: pieces and their labels, rulers, tiles, a printer's correction."""
