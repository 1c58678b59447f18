"""The trade itself: pure records and functions; no file, clock, network or screen."""
