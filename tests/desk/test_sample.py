"""The sample shelf: found, laid out as a person would have done it, and well."""

from __future__ import annotations

from pathlib import Path

import pytest

import watchlist
from watchlist.desk import sample
from watchlist.desk.errors import DeskError
from watchlist.shelf.shelf import Shelf


def test_a_small_scenario_is_laid_out(tmp_path: Path) -> None:
    """The scenario with two imports and one source: the road is the same."""
    full = sample.load(sample.find_sample())
    assert full.yesterday < full.morning
    few = {**full.table, "imports": full.table["imports"][:2], "sources": full.table["sources"][:1], "filled": {}}
    steps: list[str] = []
    given = sample.Sample(full.folder, full.morning, full.yesterday, few)
    (report,) = sample.lay_out(given, tmp_path / "shelf", lambda words, share: steps.append(words) or True)  # type: ignore[func-returns-value]
    assert (report.failed, report.troubles) == ("", ())
    assert steps
    with Shelf.open(tmp_path / "shelf", write=False) as opened:
        assert opened.store.listing.count() > 0
        assert opened.settings.home.currency == full.table["home"]["currency"]


def test_wants_that_were_filled_before_are_so(laid_out: Path) -> None:
    filled = sample.load(sample.find_sample()).table["filled"]
    with Shelf.open(laid_out, write=False) as opened:
        kept = {want.id: want.filled for want in opened.notebook.wants.list()}
    assert filled
    assert {id: kept[id] for id in filled} == filled


def test_an_installation_without_the_sample_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watchlist, "__file__", str(tmp_path / "watchlist" / "__init__.py"))
    with pytest.raises(DeskError, match="The sample files are missing from this installation"):
        sample.find_sample()
