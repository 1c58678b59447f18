"""A title cut up: its tokens, the phrases in it, and which of its numbers are spoken for by nothing of the piece."""
