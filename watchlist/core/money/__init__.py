"""Amounts in a currency, and prices as people write them."""
