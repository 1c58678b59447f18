"""A title cut up: its tokens, the phrases in it, and the numbers that say nothing of the piece taken away."""
