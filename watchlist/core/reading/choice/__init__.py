"""Which candidates make one consistent reading."""
