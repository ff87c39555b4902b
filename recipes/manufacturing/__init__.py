"""What shops need: kerf, rules of cutting, preflight of any cut file, lines of an order."""
