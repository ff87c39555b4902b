"""`watch`: every save of a design file rebuilds its drawing side, and the open page follows."""
