"""Prices realised and the bands that answer from the market state."""
