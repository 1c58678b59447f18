"""Each field's finder: from a scanned title to candidates."""
