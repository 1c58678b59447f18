"""The sample shelf: an invented scenario, laid out as a person would have done it."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import watchlist
from watchlist.core.lots.source import Source
from watchlist.desk import naming
from watchlist.desk.decisions import deciding, noting
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING
from watchlist.desk.errors import DeskError
from watchlist.desk.gather.gathering import gather
from watchlist.desk.gather.intake import SourceReport
from watchlist.desk.held import arrivals, pieces
from watchlist.desk.held.parcels import parcels
from watchlist.desk.own_files import importing
from watchlist.desk.plan import season as season_of
from watchlist.desk.results import results
from watchlist.desk.settling import settle
from watchlist.desk.typed.lots_by_hand import add_lot
from watchlist.desk.typed.venues import put_venue
from watchlist.desk.typed.wants import as_kept
from watchlist.shelf.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Sample:
    """The scenario's files and clock."""

    folder: Path
    morning: datetime
    yesterday: datetime
    table: Mapping[str, Any]


def find_sample() -> Path:
    """The folder of the sample: inside the installed package, else beside it in a checkout."""
    package = Path(watchlist.__file__).parent
    for folder in (package / "sample_feeds", package.parent / "sample_feeds"):
        if (folder / "sample.toml").is_file():
            return folder
    raise DeskError("The sample files are missing from this installation; install watchlist again.")


def load(folder: Path) -> Sample:
    """Read sample.toml."""
    table = tomllib.loads((folder / "sample.toml").read_text("utf-8"))
    head = table["sample"]
    return Sample(folder, head["morning"], head["yesterday"], table)


def lay_out(
    sample: Sample, shelf: Path, go_on: Callable[[str, float], bool] | None = None, *, season: bool = False
) -> list[SourceReport]:
    """Make the shelf: settings, imports, sources, yesterday's gather, this morning's gather. This morning's reports.

    `season`: with what its collector did between the two."""
    shelf.mkdir(parents=True, exist_ok=True)
    (shelf / "settings.toml").write_text(_settings(sample.table), "utf-8")
    with Shelf.open(shelf, write=True, today=lambda: sample.morning.date()) as opened:
        desk = Desk(opened, sample.yesterday)
        desk.go_on = go_on or desk.go_on
        _import(desk, sample)
        previous = sample.folder / sample.table["sample"]["previous"]
        _gather_from(desk, sample, previous)
        if season:
            _season(desk, sample.table["season"])
        desk.now = sample.morning
        return list(_gather_from(desk, sample, sample.folder))


def _settings(table: Mapping[str, Any]) -> str:
    home, bids = table["home"], table["bids"]
    services = ", ".join(f'"{code}"' for code in table["reading"]["services"])
    return (
        f'[home]\ncurrency = "{home["currency"]}"\ntime_zone = "{home["time_zone"]}"\n'
        f"[reading]\nservices = [{services}]\n[bids]\nbudget = {bids['budget']}\n"
    )


def _import(desk: Desk, sample: Sample) -> None:
    due = NOTHING
    for step in sample.table["imports"]:
        body = (sample.folder / step["file"]).read_bytes()
        due |= importing.import_file(desk, step["kind"], body, step["file"]).due
    for id, number in sample.table.get("filled", {}).items():
        want = naming.want(desk.wants.by_id, id)
        desk.shelf.notebook.wants.put(as_kept(desk, replace(want, filled=number)))
    desk.forget()
    settle(desk, due)


def _season(desk: Desk, told: Mapping[str, Any]) -> None:
    """Budgets, a sum set aside, an either-or group, bids, a question and a date: yesterday evening's work."""
    desk.now = told["evening"]
    for name, terms in told["venues"]:  # what a lot costs by itself stays, so no band has to follow
        put_venue(desk, {"name": name, **terms}, name, NOTHING)
    for name, amount, first, last in told["budgets"]:
        season_of.put_budget(desk, name, amount, date.fromisoformat(first), date.fromisoformat(last))
    for amount, what, until in told["set_aside"]:
        season_of.put_aside(desk, amount, what, date.fromisoformat(until))
    for name, need, *lots in told["groups"]:
        season_of.put_group(desk, name, int(need), lots)
    for lot, verb, amount in told["bids"]:
        deciding.decide(desk, [lot], verb, amount, anyway=True)
    _past(desk, told)
    for lot, text in told["questions"]:
        noting.ask(desk, lot, text)
    for text, day in told["dates"]:
        noting.remind(desk, text, day)


def _past(desk: Desk, told: Mapping[str, Any]) -> None:
    """What came of sales before: lots won and lost, an invoice that waits for its payment, a piece sent back."""
    for id, title, venue, closes in told["past"]:
        add_lot(desk, {"id": id, "title": title, "venue": venue, "closes": closes})
    for what, lot, word, text, day in told["after"]:
        AFTER[what](desk, lot, word, text, day)


def _of_parcel(desk: Desk, lot: str, word: str, text: str, day: str) -> None:
    shown = next(each for each in parcels(desk) if any(one.key == lot for one in each.lots))
    arrivals.say(desk, shown.id, arrivals.Said(word, text, day))


def _of_piece(desk: Desk, lot: str, word: str, text: str, day: str) -> None:
    pieces.say(desk, lot, pieces.Said(word, on=day, reason=text))


AFTER: Mapping[str, Callable[[Desk, str, str, str, str], object]] = {
    "bid": lambda desk, lot, word, text, day: deciding.decide(desk, [lot], word, text, anyway=True, on=day),  # type: ignore[arg-type]
    "result": lambda desk, lot, word, text, day: results.result(desk, lot, text, won=word == "won", on=day),
    "parcel": _of_parcel,
    "piece": _of_piece,
}


def _gather_from(desk: Desk, sample: Sample, folder: Path) -> list[SourceReport]:
    desk.shelf.notebook.sources.put(*_sources(sample, folder))
    desk.forget()
    return list(gather(desk))


def _sources(sample: Sample, folder: Path) -> Iterator[Source]:
    for row in sample.table["sources"]:
        options = {name: value for name, value in row.items() if name not in ("name", "file")}
        yield Source(row["name"], str(folder / row["file"]), **options)
