"""Each field's finder: from a scanned title to candidates, a file a field. A candidate keeps the tokens it rests on."""
