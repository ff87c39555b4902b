"""How fast the copper heats, where its temperature settles, and what that means for people."""
