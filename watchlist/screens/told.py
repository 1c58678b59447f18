"""What the screens say when long work is over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from watchlist.desk.gathering import SourceReport


def gather_words(reports: Sequence[SourceReport], *, stopped: bool) -> str:
    """One line on a gather: what is new, what failed, the first trouble, what went quiet."""
    failed = [report for report in reports if report.failed]
    aside = [f"{each.name}: {each.troubles[0]}" for each in reports if each.troubles and not each.failed]
    quiet = [f"{each.name}: {each.note}" for each in reports if "quiet" in each.note or "partial" in each.note]
    words = [f"Gathered: {sum(report.new for report in reports)} new lots"]
    words += [f"{report.name}: {report.failed}" for report in failed]
    words += aside[:1] + quiet[:1]
    head = "Stopped; what came is kept. " if stopped else ""
    tail = " 5 shows them." if failed or aside or quiet else ""
    return head + "; ".join(words).rstrip(".") + "." + tail
