"""The ring of magnets, and the voltage it makes."""
