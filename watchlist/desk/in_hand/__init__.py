"""What stands now: bids and wins, the money that they hold, dates to keep."""
