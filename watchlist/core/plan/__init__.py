"""Which bids to leave: the best set that a budget allows."""
