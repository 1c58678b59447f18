"""From an entry as it came to a lot made definite."""
