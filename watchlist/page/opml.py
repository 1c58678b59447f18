"""Sources as a list that other readers of feeds take: OPML 2.0 (opml.org/spec2.opml)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from email.utils import format_datetime
from xml.sax.saxutils import quoteattr

from watchlist.core.lots.source import Source


def opml(sources: Iterable[Source], made: datetime) -> str:
    """The document; each source under its name."""
    lines = [
        f"    <outline type={quoteattr('rss')} text={quoteattr(source.name)} xmlUrl={quoteattr(source.address)}/>"
        for source in sources
    ]
    return "\n".join(
        (
            '<?xml version="1.0" encoding="UTF-8"?>',
            '<opml version="2.0">',
            f"  <head>\n    <title>Sources</title>\n    <dateCreated>{format_datetime(made)}</dateCreated>\n  </head>",
            "  <body>",
            *lines,
            "  </body>\n</opml>\n",
        )
    )
