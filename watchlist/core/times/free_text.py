"""A closing time inside a free text: behind a label, before `left`, or as the day of the sale."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice

from watchlist.core.folding import folded, plain
from watchlist.core.times.days import NO_DAY
from watchlist.core.times.text import NO_HOUR, Setting, TimeRead, read_time, unglued, unknown
from watchlist.core.times.zones import zone_after

MOST_LABELS = 20
"""Labels tried in one description; a text with more is no description."""
_MACHINE = re.compile(
    r"[\s:;|=]*(\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d(?::\d\d(?:[.,]\d+)?)?\s?(?:[Zz]|[+-]\d\d:?\d\d)"
    r"|\d{10}(?:\d{3})?|P(?=[\dT])(?:\d{1,4}[WD])*(?:T(?:\d{1,6}[HMS])+)?)(?![\w:+-])",
    re.ASCII,
)
"""A time as programs write it, right after a label in a free text."""


def find_closing(text: str, setting: Setting) -> TimeRead | None:
    """The closing time that follows a label in free text ("closes 14 Mar 2026 20:00 CET", "Endet: ...").

    A day behind one label and an hour behind another are put together; without any label the day of the sale itself
    counts ("Auktion am 14.3.2026, 18 Uhr"), if it lies ahead. None when nothing of the kind is found. Two labels with
    two times give unknown. Never raises.
    """
    shown = unglued(plain(text[:100_000]), setting.words)
    search = _Search(replace(setting, day_end=False) if setting.day_end else setting, shown, folded(shown))
    said = search.behind(setting.words.label, setting)
    for more in (search.left, search.put_together, search.events):
        if not any(read.when or read.ended for _, read in said):
            said = [*said, *more(said)]
    known = {read.when for _, read in said if read.when}
    if len(known) > 1:
        return unknown("two closing times in the text")
    return next((read for _, read in said if read.when), said[0][1] if said else None)


Said = tuple[str, TimeRead]
"""Words of a text, and the time they give."""


@dataclass(frozen=True, slots=True)
class _Search:
    """One text searched."""

    setting: Setting
    shown: str
    small: str

    def read(self, text: str, setting: Setting | None = None) -> Said:
        """A part of the text with the time it gives."""
        return text, read_time(text, setting or self.setting)

    def behind(self, labels: re.Pattern[str], setting: Setting | None = None) -> list[Said]:
        """The times that stand right behind labels."""
        said: list[Said] = []
        for label in islice(labels.finditer(self.small), MOST_LABELS):
            here = setting or self.setting
            if machine := _MACHINE.match(self.shown, label.end()):
                said.append(self.read(machine[1], here))
                continue
            if not here.order and label[0] in here.words.day_first:
                here = replace(here, order="dmy")
            window = self.shown[label.start() : label.end() + 110]
            end = _extent(window, label.end() - label.start(), self.setting)
            if end:
                said.append(self.read(window[:end], here))
        return said

    def left(self, _: Sequence[Said]) -> list[Said]:
        """Spans with a word that says they are left, before or behind them."""
        still = islice(self.setting.words.still.finditer(self.small), MOST_LABELS)
        return [*self.behind(self.setting.words.left_label), *(self.read(found[0]) for found in still)]

    def put_together(self, said: Sequence[Said]) -> list[Said]:
        """`Closing date: 14 March 2026. Closing time: 18:00`."""
        days = {text for text, read in said if read.note == NO_HOUR}
        hours = {text for text, read in said if read.note == NO_DAY}
        return [self.read(f"{days.pop()} {hours.pop()}")] if len(days) == len(hours) == 1 else []

    def events(self, _: Sequence[Said]) -> list[Said]:
        """The sale itself with its day and hour; one that is past is where the piece came from."""
        note = "the day of the sale: the lot may close later"
        return [
            (text, replace(read, ambiguous=True, note=f"{read.note}; {note}".lstrip("; ")))
            for text, read in self.behind(self.setting.words.event_label)
            if read.when and read.when > self.setting.now
        ]


def _extent(window: str, start: int, setting: Setting) -> int:
    """Where the time that begins after a label ends; 0 when none begins there."""
    words, small = setting.words, _ISO_T.sub(" ", folded(window))
    at, end, used = start, 0, set[str]()
    while at < len(small):
        # in `2d 04h` and `2d 04:15:00` the hours are no clock time
        span = (words.pair.match(small, at) or words.countdown.match(small, at)) if "span" in used else None
        kind, at = ("span", span.end()) if span else _piece(window, small, at, setting)
        if not kind or used & _NOT_AFTER.get(kind, set()):
            break
        if kind != "idle":
            used.add(kind)
            end = at
    return end


_ISO_T = re.compile(r"(?<=[0-9])t(?=[0-9])")
_PUNCTUATION = re.compile(r"[\s,:;|=()-]+|\.(?!\s*\w)|\.\s(?=\d)")
_NOT_AFTER = {
    "date": {"date", "span"},
    "clock": {"clock", "span"},
    "span": {"date", "clock"},
    "weekday": {"weekday"},
    "day": {"day"},
}
"""What cannot belong to one time any more once the other stood: a second date, a span beside a clock."""


def _piece(window: str, small: str, at: int, setting: Setting) -> tuple[str, int]:
    """The kind and end of the known thing that begins at a place of a text."""
    words = setting.words
    if m := _PUNCTUATION.match(small, at):
        return "idle", m.end()
    if m := words.date.match(small, at):
        return "date", m.end()
    span = words.pair.match(small, at)
    days = span is not None and words.units[span[2]] >= 86_400  # `2d` is never a clock time, `2h` may be
    if not days and (m := words.clock.match(small, at)) and not (span and words.left.search(small[:at])):
        found = zone_after(window, m.end(), setting.table, setting.zone, seconds=m["s1"] is not None)
        sure = found.zone is not None or _zone_like(window[m.end() : found.end])
        return "clock", found.end if sure else m.end()
    if span:
        return "span", span.end()
    idle = (words.bound, words.begin, words.idle, words.left)
    for kind, pattern in (("weekday", words.weekday), ("day", words.day), *(("idle", known) for known in idle)):
        if m := pattern.match(small, at):
            return kind, m.end()
    return "", at


def _zone_like(text: str) -> bool:
    """Capitals that look like a zone we do not know: better unknown than read without it."""
    return re.search(r"(?<![A-Za-z])[A-Z]{2,4}T$", text) is not None
