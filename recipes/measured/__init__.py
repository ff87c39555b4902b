"""What the bench showed beside what the design expects, and what a deviation usually means."""
