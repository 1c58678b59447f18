"""Lots in lists, page by page, and all of one lot."""
