"""Commands of `lamwright`: words in, recipes called, words out."""
