"""Words out of the markup of a feed, also where it was escaped once too often."""

from __future__ import annotations

import re

from watchlist.core.clean import TEXT_CAP, html_text

LEFT_OVER = re.compile(
    r"</?(?:p|br|b|i|u|strong|em|div|span|font|table|tr|td|th|ul|ol|li|a|img|h[1-6])\b[^<>]{0,300}>"
    r"|&(?:[a-z]{2,8}|#\d{2,5});",
    re.IGNORECASE,
)
"""What no seller writes for people to read: a tag or a character reference that is still there."""


def words_of(markup: str, cap: int = TEXT_CAP) -> str:
    """The words of an HTML fragment; of one that was escaped twice as well (`&amp;lt;b&amp;gt;`)."""
    text = html_text(markup, cap)
    return html_text(text, cap) if LEFT_OVER.search(text) else text
