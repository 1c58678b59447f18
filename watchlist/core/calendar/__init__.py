"""Dates that a collector must not miss: what they are called, when they ring, what became of those told before."""
