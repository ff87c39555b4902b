"""One part a file; `recipes.catalogue` lists them."""
