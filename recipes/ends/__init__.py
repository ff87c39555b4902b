"""How the wire turns at the ends of the stack."""
