"""Decisions on lots, one entry of the list each."""
