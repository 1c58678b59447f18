"""What the screens say of work and of lots."""

from __future__ import annotations

from typing import TYPE_CHECKING

from watchlist.desk.errors import PLAIN, DeskError

if TYPE_CHECKING:
    from watchlist.desk.gather.gathering import Gathered


def gather_words(found: Gathered) -> str:
    """One line on a gather: what is new, what failed, the first trouble, what went quiet, what was left undone."""
    reports = found.reports
    failed = [report for report in reports if report.failed]
    aside = [f"{each.name}: {each.troubles[0]}" for each in reports if each.troubles and not each.failed]
    quiet = [f"{each.name}: {each.note}" for each in reports if "quiet" in each.note or "partial" in each.note]
    words = [f"Gathered: {sum(report.new for report in reports)} new lots"]
    words += [f"{report.name}: {report.failed}" for report in failed]
    words += aside[:1] + quiet[:1]
    head = "Stopped; what came is saved." if found.stopped else ""
    tail = "5 shows them." if failed or aside or quiet else ""
    return " ".join(filter(None, (head, "; ".join(words).rstrip(".") + ".", found.due, tail)))


def waiting_words(count: int, holder: str) -> str:
    """`1 decision waits for the gather.`; empty when none does."""
    return f"{count} {'decision waits' if count == 1 else 'decisions wait'} for {holder}." if count else ""


def refusal(words: str, error: Exception) -> str:
    """One sentence on something that was not written."""
    return str(error) if isinstance(error, DeskError) else f"{why_it_ended(error)} Not written: {words}."


def why_it_ended(error: Exception) -> str:
    """One sentence on work that broke off: what can be done about it, that it was stopped, or an internal error."""
    # the market's own Stopped is known by its name: its module would load numpy
    if isinstance(error, PLAIN) or type(error).__name__ == "Stopped":
        return str(error)
    return f"An internal error ({type(error).__name__}: {error}). Stored data is intact; the work broke off there."


def named(title: str) -> str:
    """A title inside a message, which has its own stop."""
    return title.rstrip(" .")
