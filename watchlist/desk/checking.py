"""A look over the shelf: what is kept, how old it is, what wants a hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from watchlist.core.lots.source import is_web
from watchlist.core.marks.reasons import ago
from watchlist.core.marks.valuation import SavedMarket
from watchlist.desk.desk import Desk
from watchlist.desk.judging import judging
from watchlist.desk.morning import morning
from watchlist.desk.prices import fitting
from watchlist.desk.prices.unlisted import unlisted
from watchlist.desk.results import results
from watchlist.page.wording import count
from watchlist.shelf.proof import faults_of


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at."""

    what: str
    ok: bool
    text: str


def check(desk: Desk) -> Iterator[Finding]:
    """Everything in turn; nothing is changed and no address is fetched."""
    torn = [notice for notice in desk.shelf.notices if notice not in desk.settings.notices]
    yield Finding("shelf", not torn, "; ".join(torn) or str(desk.shelf.path))
    if faults := faults_of(desk.shelf.store.db):
        cure = "bring a backup back with `watchlist restore FILE`"
        yield Finding("store", False, f"not whole: {'; '.join(faults)}; {cure}")
    for lot, why in results.mismatches(desk).items():
        yield Finding("list", False, f"{lot}: {why}; the next gather writes it again from your decisions")
    yield _settings(desk)
    yield _catalogue(desk)
    yield from (Finding("issue", False, text) for text in unlisted(desk))
    yield _prices(desk)
    yield _market(desk)
    yield _rates(desk)
    wants = len(desk.wants)
    yield Finding("wants", bool(wants), count(wants, "want") if wants else "none yet: `watchlist want add`")
    yield from _venues(desk)
    yield from _sources(desk)
    lots = desk.shelf.store.listing.count()
    stale = bool(lots) and judging.is_due(desk)
    tail = ", marked by other settings or an older market: the next gather marks them again" if stale else ""
    yield Finding(
        "lots", bool(lots) and not stale, f"{count(lots, 'lot')}{tail}" if lots else "none yet: `watchlist gather`"
    )


def _settings(desk: Desk) -> Finding:
    home, prices = desk.settings.home, desk.settings.prices
    text = (
        f"home {home.currency}, {home.time_zone}; bands are {desk.kind}; bargain at {prices.bargain_at}; "
        f"services {', '.join(desk.settings.reading.services) or 'none'}"
    )
    return Finding("settings", not desk.settings.notices, "; ".join((text, *desk.settings.notices)))


def _catalogue(desk: Desk) -> Finding:
    issues = desk.catalogue.by_key.values()
    own = sum(not issue.implied for issue in issues)
    implied = len(issues) - own
    tail = f", and {implied} known only from wants or prices" if implied else ""
    return Finding("catalogue", bool(own), f"{count(own, 'issue')}{tail}" + ("" if own else ": import a catalogue"))


def _prices(desk: Desk) -> Finding:
    prices = list(desk.shelf.store.prices.each())
    if not prices:
        return Finding("prices", False, "none yet: import prices, or give wants a low and a high")
    newest = max(price.sale_date for price in prices)
    unknown = sorted({price.venue for price in prices if price.venue and price.venue not in desk.terms})
    tail = f"; no terms for {', '.join(unknown[:4])}: fees are not included in those prices" if unknown else ""
    old = (desk.local_today() - newest).days > 365
    return Finding(
        "prices",
        not (unknown or old),
        f"{len(prices):,} prices realised, newest {ago(newest, desk.local_today())}{tail}",
    )


def _market(desk: Desk) -> Finding:
    if not isinstance(desk.market, SavedMarket):
        return Finding("market", False, "bands not calculated: `watchlist price --refit`, once there are prices")
    if fitting.is_due(desk):
        return Finding(
            "market", False, "older than the prices: the next gather or `watchlist price --refit` recalculates it"
        )
    header = desk.market.state.header
    text = f"calculated {header.get('today', '')}, bands are {header['kind']} in {header['currency']}"
    return Finding("market", True, text)


def _rates(desk: Desk) -> Finding:
    age = desk.rates.age_days(desk.local_today())
    if age is None:
        foreign = sorted({terms.currency for terms in desk.terms.values()} - {desk.home})
        return Finding("rates", not foreign, f"none; needed for {', '.join(foreign)}" if foreign else "none needed")
    return Finding("rates", age <= 45, f"{count(len(desk.rates.rows), 'monthly rate')}, the newest {age} days old")


def _venues(desk: Desk) -> Iterator[Finding]:
    for terms in desk.terms.values():
        day = getattr(terms, "checked", None)
        age = f", checked {ago(day, desk.local_today())}" if day else ""
        text = f"{terms.kind}, {terms.currency}, {terms.time_zone or 'no zone'}{age}"
        yield Finding(f"venue {terms.venue}", True, text)


def _sources(desk: Desk) -> Iterator[Finding]:
    troubles = {each.name: each.what for each in morning.source_troubles(desk)}
    for name, source in desk.sources.items():
        state = desk.shelf.store.feeds.state(name)
        columns = state.get("columns") or {}
        mapped = f"; columns {', '.join(f'{key}={value}' for key, value in columns.items())}" if columns else ""
        where = "web" if is_web(source.address) else "file"
        venue = source.venue or "no venue"
        lonely = "" if source.venue in desk.terms else "; its venue has no terms"
        text = troubles.get(name) or f"{where}, {venue}, {state.get('lots', 0)} lots listed{mapped}{lonely}"
        yield Finding(f"source {name}", name not in troubles and not lonely, text)
    for line in morning.stale(desk):
        yield Finding("age", False, line)
