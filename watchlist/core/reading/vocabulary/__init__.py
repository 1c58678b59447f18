"""What words mean: the lists of the languages, the catalogue's own names, and what the person has taught.

Tokens and the tree of phrases stand here too, for a list is kept cut up as titles are.
"""
