"""Issues, their catalogue, and grades."""
