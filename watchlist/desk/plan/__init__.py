"""Which bids to leave, inside each budget."""
