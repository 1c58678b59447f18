"""The morning as a letter in a file (RFC 5322): the same as text and as a page. Nothing is sent."""

from __future__ import annotations

from email import policy
from email.headerregistry import Address
from email.message import EmailMessage
from uuid import NAMESPACE_URL, uuid5

from watchlist.page.morning import Paper, plain
from watchlist.page.morning_html import page

WIDE = 76
"""Cells of a line: RFC 5322 asks for no more than 78."""
SENDER = Address("Watchlist", "watchlist", "localhost")


def letter(paper: Paper, to: Address | None = None) -> str:
    """The letter, from the person to themselves. The same morning gives the same bytes."""
    words = plain(paper, WIDE)
    made = EmailMessage(policy.SMTP)
    name = uuid5(NAMESPACE_URL, f"{to}{paper.made}{words}").hex
    made["From"] = to or SENDER
    if to:
        made["To"] = to
    made["Date"] = paper.made
    made["Subject"] = paper.title
    made["Message-ID"] = f"<{name}@watchlist.localhost>"
    made["Auto-Submitted"] = "auto-generated"  # RFC 3834: no holiday notice answers it
    made.set_content(words, cte="quoted-printable")
    made.add_alternative(page(paper), subtype="html", cte="quoted-printable")
    made.set_boundary(f"=_{name}")  # one that quoted-printable cannot hold (RFC 2045, 6.7)
    return made.as_bytes().decode("ascii")
