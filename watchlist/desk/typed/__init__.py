"""What a person types in: wants, venues, sources, lots by hand."""
