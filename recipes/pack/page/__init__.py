"""`build-sheet.html`: one page that needs no network, written from `recipes.page` and read back."""
