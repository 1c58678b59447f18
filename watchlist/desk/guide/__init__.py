"""A guide to a series, and the talk sheet of an issue."""
