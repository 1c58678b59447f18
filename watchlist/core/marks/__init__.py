"""Wants, valuation, doubts: one mark a lot, with its reasons."""
