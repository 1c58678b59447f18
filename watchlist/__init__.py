"""Watchlist: a want-list and auction watch for people who follow, price and buy coins."""

__version__ = "0.1.0"
