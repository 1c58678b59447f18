"""The piece in the hand: what its weight, size and density rule out, and what they cannot tell."""
