"""The steps of the build, one file a step or two; `recipes.page.sheet` puts them in order."""
