"""Titles read as this shelf reads them, and what the person has mended of them."""
