"""The sample shelf: an invented scenario, laid out as a person would have done it."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import watchlist
from watchlist.core.lots.source import Source
from watchlist.desk import importing, naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING
from watchlist.desk.errors import DeskError
from watchlist.desk.gathering import gather
from watchlist.desk.intake import SourceReport
from watchlist.desk.settling import settle
from watchlist.desk.wants import as_kept
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


def lay_out(sample: Sample, shelf: Path, go_on: Callable[[str, float], bool] | None = None) -> list[SourceReport]:
    """Make the shelf: settings, imports, sources, yesterday's gather, this morning's gather. This morning's reports."""
    shelf.mkdir(parents=True, exist_ok=True)
    (shelf / "settings.toml").write_text(_settings(sample.table), "utf-8")
    with Shelf.open(shelf, write=True, today=lambda: sample.morning.date()) as opened:
        desk = Desk(opened, sample.yesterday)
        desk.go_on = go_on or desk.go_on
        _import(desk, sample)
        previous = sample.folder / sample.table["sample"]["previous"]
        _gather_from(desk, sample, previous)
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
    for id, pieces in sample.table.get("filled", {}).items():
        want = naming.want(desk.wants.by_id, id)
        desk.shelf.notebook.wants.put(as_kept(desk, replace(want, filled=pieces)))
    desk.forget()
    settle(desk, due)


def _gather_from(desk: Desk, sample: Sample, folder: Path) -> list[SourceReport]:
    desk.shelf.notebook.sources.put(*_sources(sample, folder))
    desk.forget()
    return list(gather(desk))


def _sources(sample: Sample, folder: Path) -> Iterator[Source]:
    for row in sample.table["sources"]:
        options = {name: value for name, value in row.items() if name not in ("name", "file")}
        yield Source(row["name"], str(folder / row["file"]), **options)
