"""What a body is: its text whatever its encoding, and its kind told by content, for the headers often lie."""

from __future__ import annotations

import codecs
import re
from contextlib import suppress

BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
DECLARED = re.compile(rb"""<\?xml[^>]{0,200}?encoding\s*=\s*["']([A-Za-z0-9._-]{1,40})["']""")
CHARSET = re.compile(r"""charset\s*=\s*["']?([A-Za-z0-9._-]{1,40})""", re.IGNORECASE)
# Only plain tables of characters: some codecs of Python (punycode) take time that grows with the square of the text.
PLAIN_CODECS = re.compile(
    r"iso8859|iso2022|cp\d|kz1048|ptcp154|tis|johab|hz|koi8|mac|shift_jis|euc|gb|big5|utf-(?:7|8|16|32)|ascii|latin"
)
HEAD = 4096
"""Bytes that show by their NULs whether it is UTF-16."""
XML_DECLARATION = re.compile(r"<\?xml\b[^>]{0,200}\?>")
XML_START = re.compile(r"<(?:\?xml|rss|rdf:RDF|feed|[\w.-]{1,40}:feed)\b")
PAGE_START = re.compile(r"(?:<\?xml[^>]{0,200}>\s*)?<(?:!doctype\s+html|html|head|body)\b", re.IGNORECASE)
COMMENT = re.compile(r"<!--.{0,2000}?-->\s*", re.DOTALL)


def decode(body: bytes, encoding: str = "", content_type: str = "") -> str:
    """The text of a body. The order: the person's setting, a byte order mark, UTF-16 by its NULs, strict UTF-8, what
    the document or the server declares, Windows-1252. Never raises; what no table holds becomes U+FFFD.
    """
    certain = known_encoding(encoding) or _marked(body)
    if certain:
        return body.decode(certain, "replace").removeprefix("\ufeff")
    for likely in ("utf-8", *_declared(body, content_type)):
        with suppress(UnicodeDecodeError):
            return body.decode(likely)
    return body.decode("utf-8" if _nearly_utf8(body) else "cp1252", "replace")


def kind_of(text: str) -> str:
    """ "xml", "json", "csv", "page" (a web page) or "empty", by the first characters."""
    start = text[:4000].lstrip("\ufeff \t\r\n\0")
    if not start:
        return "empty"
    if PAGE_START.match(COMMENT.sub("", start, count=3)):
        return "page"
    if start[0] == "<" or XML_START.search(start[:1000]):
        return "xml"
    return "json" if start[0] in "{[" else "csv"


def xml_bytes(text: str) -> bytes:
    """The document as UTF-8 from its first element on: no declaration, nothing that a server wrote before it."""
    found = XML_START.search(text[:4000])
    text = text[found.start() :] if found and not text.lstrip().startswith("<!") else text.lstrip("\ufeff \t\r\n\0")
    return XML_DECLARATION.sub("", text, count=1).lstrip().encode("utf-8", "replace")


def _marked(body: bytes) -> str:
    for mark, codec in BOMS:
        if body.startswith(mark):
            return codec
    even, odd = body[:HEAD:2].count(0), body[1:HEAD:2].count(0)
    if max(even, odd) <= max(min(len(body), HEAD) // 8, 2 * min(even, odd)):
        return ""
    return "utf-16-le" if odd > even else "utf-16-be"  # Latin text: every second byte is NUL


def _declared(body: bytes, content_type: str) -> list[str]:
    found = DECLARED.search(body[:400])
    charset = CHARSET.search(content_type)
    names = [found[1].decode("ascii") if found else "", charset[1] if charset else ""]
    # What is declared as Latin-1 is Windows-1252 in practice: the same letters and the euro sign besides.
    known = (known_encoding(name) for name in names)
    return ["cp1252" if name in ("iso8859-1", "ascii") else name for name in known if name and name != "utf-8"]


def known_encoding(name: str) -> str:
    """Python's name of an encoding, or empty when it is none that a feed or a file may use."""
    try:
        codec = codecs.lookup(name).name if name else ""
    except (LookupError, ValueError):
        return ""
    return codec if PLAIN_CODECS.match(codec) else ""


def _nearly_utf8(body: bytes) -> bool:
    """UTF-8 cut off in a character or with a stray byte, rather than another encoding."""
    text = body.decode("utf-8", "replace")
    bad, good = text.count("\ufffd"), sum(1 for _ in re.finditer("[\u00a0-\ufffc]", text))
    return good > 4 * bad or (bad == 1 and text.endswith("\ufffd"))
