"""The person's own tables, in and out."""
