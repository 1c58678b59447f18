"""A small shelf of invented lots for the tests of the screens, made by hand: no feed is read."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Doubt, Judgement, Reason, Sign
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading, Span
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store.rows import LotRow

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
BAND = Band(Decimal(380), Decimal(420), Decimal(460), "EUR", "all-in", 14, (NOW - timedelta(days=21)).date())
WEIGHT = Sign("light", "weight", "weight given 25.8 g, standard 27.2 g", 2.2, "strong", "worn, a typing error")
RATING = Sign("few_ratings", "seller", "seller with 3 ratings", 0.8, "moderate", "a new seller")
MOMENT = 0.05
HANG = 60.0
"""Seconds after which screens that do not come to rest are given up."""
PATIENCE = 10.0
"""Seconds after which a test gives up."""
TITLES = (
    ("bargain", "5 tor 1893 V, toned", 310, "-0.26"),
    ("doubt", "5 tor 1893 M, uncleaned", 145, "-0.76"),
    ("unclear", "Old silver coin lot, see photos", 60, None),
    ("in range", "5 tor 1894, light scratches", 305, "0.02"),
    ("over", "1 tor 1889 S, brown", 260, "0.37"),
    ("few sales", "Medal for merit, bronze", 40, None),
)


def eur(amount: int | str) -> Money:
    return Money(Decimal(amount), "EUR")


def judged(mark: Any, cost: int, gap: str | None) -> Judgement:
    doubt = Doubt("caution", 1.2, (WEIGHT, RATING)) if mark == "doubt" else Doubt()
    band = BAND if gap is not None else None
    reasons = [Reason(sign.text, sign.strength, sign.group, sign.could_be) for sign in doubt.signs]
    if mark == "unclear":
        reasons = [Reason("The title gives no coin.")]
    return Judgement(
        issue="orvany-5t-1893" if gap else None,
        candidates=(),
        wants=("w1",) if mark == "bargain" else (),
        near_wants=(),
        grade_low=30 if gap else None,
        grade_high=30 if gap else None,
        band=band,
        value=band,
        all_in=eur(cost),
        cost_lines=(("hammer", f"{cost - 20} EUR"), ("premium", "20 EUR"), ("all_in", f"{cost} EUR")),
        gap=Decimal(gap) if gap else None,
        ceiling=eur(400) if mark == "bargain" else None,
        ceiling_want="w1" if mark == "bargain" else None,
        bid_limit=eur(330) if mark == "bargain" else None,
        doubt=doubt,
        mark=mark,
        also=("bargain",) if mark == "doubt" else (),
        so_far=False,
        reasons=tuple(reasons),
    )


def lot(number: int, *, hours: float | None = None, state: Any = "seen", **fields: Any) -> LotRow:
    """Lot `number`: the marks take turns; it closes in two days and so many hours, or `hours` from now."""
    mark, title, cost, gap = TITLES[number % len(TITLES)]
    closes = NOW + timedelta(hours=48 + number if hours is None else hours)
    given: dict[str, Any] = {
        "key": f"north:{number}",
        "source": "north",
        "id": str(number),
        "venue": "Lindmoor Sales",
        "title": title if number < len(TITLES) else f"{title} ({number})",
        "closes": closes,
        "price": eur(cost - 20),
        "price_kind": "so far",
        "seller": "anna",
        "feedback": 3,
        "link": f"https://north.example/lot/{number}",
        "first_seen": NOW - timedelta(days=1),
        "last_seen": NOW,
    }
    made = Lot(**given | fields)
    reading = Reading(
        made.title,
        denomination="5 tor",
        year=1893,
        grade_low=30,
        grade_high=30,
        confidence=0.9,
        spans=(Span("denomination", 0, 5, made.title[:5], 0.9),),
    )
    return LotRow(made, reading, judged(mark, cost, gap), state)


def shelf(path: Path, count: int = 36, *more: LotRow) -> Path:
    """A shelf with so many lots, and more."""
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.store.lots.save([*(lot(n, state="new" if n % 6 == 0 else "seen") for n in range(count)), *more])
    return path


def seen(app: Any) -> list[str]:
    """The window's lines as text."""
    return ["".join(segment.text for segment in strip).rstrip() for strip in app.screen._compositor.render_strips()]


async def settled(pilot: Any) -> None:
    """Wait until the background has counted and all is drawn."""
    while True:
        await drained(pilot)
        await pilot.app.workers.wait_for_complete()
        await drained(pilot)
        if not pilot.app.is_running or not (any(_at_work(pilot.app)) or any(_about_to(pilot.app))):
            return
        await asyncio.sleep(0.002)


async def drained(pilot: Any) -> None:
    """Wait until every message was taken, what came of it is drawn, and no key waits its turn.

    The library's own pause waits until the process is idle, which on a busy machine it seems to be too soon."""
    app, rests = pilot.app, 0
    async with asyncio.timeout(HANG):
        while rests < 2 and app.is_running and await pilot._wait_for_screen():
            app.screen._on_timer_update()  # draw now; what waits for the drawing is called
            rests = rests + 1 if _rests(app) else 0
            await asyncio.sleep(0 if rests else 0.001)


async def press(pilot: Any, *keys: str) -> None:
    """One key after the other, each when the one before it was taken."""
    for key in keys:
        await pilot.app._press_keys([key])
        await drained(pilot)


def _rests(app: Any) -> bool:
    pumps = [app, *app.screen.walk_children(with_self=True)]
    waits = any(pump.message_queue_size or pump._next_callbacks for pump in pumps)
    return app.key_queue.idle and app._resize_event is None and not waits and not app.screen._callbacks


def _at_work(app: Any) -> Iterator[bool]:
    """Workers, and the pen's own thread."""
    yield from (not worker.is_finished for worker in app.workers)
    yield app.program.pen._turn.locked()


def _about_to(app: Any) -> Iterator[bool]:
    """The pane that follows the highlight, a search that goes on: they come in less than a moment."""
    for node in app.screen.walk_children(with_self=True):
        for timer in node._timers:
            yield timer._repeat == 0 and timer._interval < MOMENT and timer._task is not None and not timer._task.done()


async def heard(app: Any, words: str) -> str:
    """Wait until the screens say this; the whole message."""
    came = asyncio.Event()
    messages = app.program.messages
    say = messages.say

    def listen(text: str) -> None:
        say(text)
        came.set()

    messages.say = listen
    try:
        while not (found := [message for message in app.program.messages.kept if words in message]):
            await asyncio.wait_for(came.wait(), PATIENCE)
            came.clear()
    finally:
        messages.say = say
    return str(found[-1])
