"""What the person decides, plans and records."""
