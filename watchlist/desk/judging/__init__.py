"""Lots against everything known, and how such judgements came out."""
