"""What is kept: the notebook, the store, settings and their lock."""
