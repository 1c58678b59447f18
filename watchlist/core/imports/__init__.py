"""Rows of a person's own files to records: one `driver` over the `kinds`, a file a kind.

Single rows never raise: each is a record or a SetAside. Errors: ImportRefused (the whole file), a ValueError.
"""

from watchlist.core.imports.record import Imported, ImportRefused, LineNote, Row, SetAside, Table

__all__ = ["ImportRefused", "Imported", "LineNote", "Row", "SetAside", "Table"]
