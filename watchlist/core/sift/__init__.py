"""The sift line: text to a test and an order."""
