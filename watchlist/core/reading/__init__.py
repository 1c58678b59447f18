"""A title to tokens, to candidates, to one reading; `reader.py` is the way in."""
