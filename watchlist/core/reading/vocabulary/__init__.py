"""What words mean: the lists of the languages, the catalogue's own names, what the person has taught."""
