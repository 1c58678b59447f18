"""Bytes in, entries out: RSS, Atom, JSON Feed and CSV."""
