"""How warm coils get, at once and settled."""
