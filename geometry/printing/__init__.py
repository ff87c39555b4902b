"""Pages printed 1:1: rulers and legend, pieces laid out with their labels, figures over tiles."""
