"""Links that may be shown and opened."""

from __future__ import annotations

from urllib.parse import urljoin, urlsplit

from watchlist.core.clean import clean
from watchlist.core.lots.address import bare
from watchlist.core.lots.source import Source, is_web

LINK_CAP = 2_000


def web_link(link: object, source: Source) -> str:
    """A link that may be shown and opened: http or https, made absolute by the source's address; else empty."""
    text = clean(link, LINK_CAP + 1) if isinstance(link, str) else ""
    if not text or len(text) > LINK_CAP:
        return ""
    try:
        urlsplit(text)
        whole = urljoin(bare(source.address), text) if is_web(source.address) and not is_web(text) else text
    except ValueError:
        return ""
    return whole if is_web(whole) and " " not in whole else ""
