"""Dates, hours and zones as people write them."""
