"""The wires that leave through the axle."""
