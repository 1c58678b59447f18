"""Wants, venues and sources as typed into a form: text in, records out, one sentence for what is wrong."""

from __future__ import annotations

import codecs
import difflib
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from watchlist.core.clean import clean
from watchlist.core.coins.catalogue import implied_issue
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.row import terms_from_row, terms_to_row
from watchlist.core.fees.terms import Terms, known_zone
from watchlist.core.lots.asking import KINDS as PRICE_KINDS
from watchlist.core.lots.source import KINDS, Source, SourceKind, is_web
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.core.money.codes import wrong_code
from watchlist.desk import naming
from watchlist.desk.adding import BY_HAND
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, MARKS
from watchlist.desk.errors import DeskError
from watchlist.desk.typed import is_yes, one_of, whole_grade

FILE_ENDINGS = ("atom", "csv", "json", "rdf", "rss", "tsv", "txt", "xml")


def put_want(desk: Desk, typed: Mapping[str, str], id: str = "") -> Want:
    """Keep a want as typed, new or in the place of `id`; MARKS are due. Raises DeskError, MoneyError."""
    base = desk.wants.by_id.get(id)
    want, implied = with_coin(desk, typed.get("coin", ""), id or desk.shelf.notebook.wants.free_id("w"), base)
    low, high = grade_range(desk, typed["grade"]) if typed.get("grade") else (None, None)
    keep_want(
        desk,
        replace(
            want,
            min_grade=low,
            max_grade=high,
            certified=is_yes("certified", typed.get("certified", ""), or_any=True),
            upgrade=is_yes("upgrade", typed.get("upgrade", "")),
            ceiling=_money(desk, typed.get("ceiling", "")),
            low=_money(desk, typed.get("low", "")),
            high=_money(desk, typed.get("high", "")),
            quantity=_whole(typed.get("quantity", "") or "1", "quantity"),
            note=typed.get("note", ""),
            filled=_whole(typed.get("filled", "") or "0", "filled"),
        ),
        implied,
    )
    return desk.wants.by_id[want.id]


def with_coin(desk: Desk, text: str, id: str, base: Want | None = None) -> tuple[Want, Issue | None]:
    """The want, new or `base`, for the coin that the words mean; and that coin where no catalogue lists it.

    Nothing is kept yet. Raises DeskError when the words mean no coin, or several."""
    if not text:
        raise DeskError("A want needs a coin, such as Orvany 5 tor 1893-V. Nothing was changed.")
    found = naming.find_coin(desk, text)
    issue, implied = found.issue, None
    if (
        issue is None
        and not found.several
        and found.year is not None
        and found.denomination
        and not _series_known(desk, found.denomination)
    ):
        issue = implied = implied_issue(found.country, found.denomination, found.year, found.mint, found.variety)
    if issue is None:
        issue = naming.coin(desk, text)
    base = base or Want(id, issue.country, issue.denomination, issue.year)
    want = replace(
        base,
        country=issue.country,
        denomination=issue.denomination,
        year=issue.year,
        mint=issue.mint,
        variety=issue.variety or None,
    )
    return want, implied


def keep_want(desk: Desk, want: Want, implied: Issue | None = None) -> None:
    """Keep a want, and its coin if no catalogue lists it. Raises DeskError for what no want can be: nothing is kept."""
    for name, amount in (("ceiling", want.ceiling), ("low", want.low), ("high", want.high)):
        if amount is not None and amount.amount <= 0:
            raise DeskError(f"The {name} is above zero, not {amount}. Nothing was changed.")
    if want.ceiling is None:
        raise DeskError("A want needs a ceiling, all-in, such as 300 EUR. Nothing was changed.")
    if want.quantity < 1 or want.filled < 0:
        raise DeskError("A want is for one piece or more, of which none or some are filled. Nothing was changed.")
    if (want.low is None) != (want.high is None):
        raise DeskError("Your own band needs both ends, low and high. Nothing was changed.")
    if want.low and want.high and want.low.currency == want.high.currency and want.low.amount > want.high.amount:
        raise DeskError(f"The low {want.low} is above the high {want.high}. Nothing was changed.")
    if implied is not None:
        desk.shelf.store.catalogue.merge([implied])
    with desk.changing(MARKS):
        desk.shelf.notebook.wants.put(want)


def drop_want(desk: Desk, id: str) -> None:
    """Take a want out; MARKS are due."""
    with desk.changing(MARKS):
        desk.shelf.notebook.wants.drop(id)


def _series_known(desk: Desk, denomination: str) -> bool:
    return any(issue.denomination == denomination and not issue.implied for issue in desk.catalogue.by_key.values())


def grade_range(desk: Desk, text: str) -> tuple[int, int | None]:
    """`40-55`, `VF-30`, `VF`; one number is a floor without a top. Raises DeskError."""
    low, dash, high = text.replace(" ", "").partition("-")
    if low.isdecimal() and (high.isdecimal() or not dash):
        span: tuple[int, int | None] = int(low), int(high) if dash else None
    else:
        found = whole_grade(text, desk.words)
        if found is None or found.low is None or found.high is None:
            raise DeskError(f"`{text}` is no grade: write 40-55, VF-30 or VF. Nothing was changed.")
        span = found.low, found.high if found.high != found.low else None
    if not 1 <= span[0] <= (span[1] or 70) <= 70:
        raise DeskError(f"`{text}` is no range of the 70-point scale. Nothing was changed.")
    return span


def _money(desk: Desk, text: str) -> Money | None:
    return Money.parse(text, default=desk.home, codes=desk.currencies) if text else None


def _whole(text: str, what: str) -> int:
    if not text.isdecimal():
        raise DeskError(f"{what.capitalize()} is a whole number, not `{text}`. Nothing was changed.")
    return int(text)


def put_venue(desk: Desk, typed: Mapping[str, str], over: str = "") -> str:
    """Keep a venue with its terms, new or those of `over` changed; that prices and marks follow is due. Its name.

    What is not typed stays as `over` had it; a new venue has only what is typed. Raises TermsError, and DeskError for
    the name of another venue: that one is changed by nobody's form but its own."""
    row = {name: text for name, text in typed.items() if text}
    there = {name.casefold(): name for name in desk.terms}.get(row.get("venue", "").casefold(), "")
    if there and there != over:
        of = f", and this form is of {over}" if over else ""
        raise DeskError(
            f"There is a venue {there} already{of}; give another name, or change that one from a source of "
            "it or with `watchlist venue edit`. Nothing was changed."
        )
    if there:
        hidden = {name: text for name, text in terms_to_row(desk.terms[there]).items() if name not in typed}
        row = {**hidden, **row, "venue": there}
        if "premium_pct" in typed:
            row.pop("premium", None)  # its tiers stand in the per cents
    made = terms_from_row({"currency": desk.home, **row}, codes=desk.currencies)
    with desk.changing(MARKET):
        desk.shelf.notebook.venues.put(made)
    return made.venue


def restore_venue(desk: Desk, name: str, before: Terms | None) -> None:
    """The terms of a venue as they were; None: it was new, and is dropped. That prices and marks follow is due."""
    with desk.changing(MARKET):
        if before is None:
            desk.shelf.notebook.venues.drop(name)
        else:
            desk.shelf.notebook.venues.put(before)


def restore_source(desk: Desk, name: str, before: Source | None) -> None:
    """A source as it was before it was changed; None: it was new, and is dropped. Its lots stay."""
    with desk.shelf.notebook.together():
        if before is None or before.name != name:
            desk.shelf.notebook.sources.drop(name)
        if before is not None:
            desk.shelf.notebook.sources.put(before)
    desk.forget()


def source_from(desk: Desk, typed: Mapping[str, str], over: str = "") -> Source:
    """A source as typed, new or in the place of `over`; nothing is kept yet. Raises DeskError for a wrong word."""
    for needed in ("name", "address"):
        if not typed.get(needed):
            raise DeskError(
                f"A source needs {'a name' if needed == 'name' else 'an address or a file'}. Nothing was changed."
            )
    before, address = desk.sources.get(over), address_of(typed["address"])
    kinds: dict[str, SourceKind] = {kind: kind for kind in KINDS}
    venue = typed.get("venue", "")
    made = Source(
        typed["name"],
        address,
        venue=naming.venue(desk.terms, venue) if venue and desk.terms else venue,
        kind=kinds[one_of("kind", typed.get("kind", ""), KINDS[1:])],
        encoding=typed.get("encoding", ""),
        decimal_mark=typed.get("decimal_mark", ""),
        date_order=typed.get("date_order", "").lower(),
        time_zone=typed.get("time_zone", ""),
        currency=typed.get("currency", "").upper(),
        price_kind=typed.get("price_kind", "").casefold(),
        columns=column_map(typed.get("columns", "")),
        day_end=before.day_end if before else False,
        headers=before.headers if before and before.address == address else {},
    )
    check_source(desk, made)
    return made


def check_source(desk: Desk, source: Source) -> None:
    """Raises DeskError for the first word of a source that means nothing: currency, zone, mark, order, column, ..."""
    name, after = source.name, "Nothing was changed."
    if name != clean(name) or not name or ":" in name or name == BY_HAND:
        raise DeskError(f"`{name}` cannot name a source: it needs letters, no colon, and `{BY_HAND}` is taken. {after}")
    if source.currency and source.currency not in desk.currencies:
        raise DeskError(f"Currency: {wrong_code(source.currency, desk.currencies)}. {after}")
    if source.time_zone and not known_zone(source.time_zone):
        raise DeskError(f"The time zone is a name such as Europe/Berlin, not `{source.time_zone}`. {after}")
    if source.decimal_mark not in ("", ".", ","):
        raise DeskError(f"The decimal mark is `,` or `.` itself, not `{source.decimal_mark}`. {after}")
    if source.date_order not in ("", "dmy", "mdy"):
        raise DeskError(f"The date order is dmy (day first) or mdy (month first), not `{source.date_order}`. {after}")
    one_of("price kind", source.price_kind, PRICE_KINDS)
    if source.encoding and not _is_encoding(source.encoding):
        raise DeskError(f"The encoding is a name such as utf-8 or cp1252, not `{source.encoding}`. {after}")
    for field, heading in source.columns.items():
        _check_column(desk, field, heading)


def _is_encoding(name: str) -> bool:
    try:
        codecs.lookup(name)
    except (LookupError, ValueError):
        return False
    return True


_MORE_COLUMNS = re.compile(r",\s*\w+\s*=")


def _check_column(desk: Desk, field: str, heading: str) -> None:
    """Raises DeskError for a field we do not have, and for two columns with a comma between them."""
    known = {*desk.words["columns"]["kinds"]["lots"]["columns"], *desk.words["feeds"]["elements"]}
    if field not in known:
        near = difflib.get_close_matches(field.casefold(), sorted(known), 1, 0.5)
        hint = f"the nearest is `{near[0]}`" if near else "such are title, price, ends_at, seller"
        raise DeskError(f"Columns: `{field}` is no field of ours; {hint}. Nothing was changed.")
    if _MORE_COLUMNS.search(heading):
        raise DeskError(
            f"Columns are parted by `;`, not by a comma as in `{field}={heading}`: write price=Ausruf; "
            "title=Los. Nothing was changed."
        )


_HOST = re.compile(r"(?:(?:[\w-]+\.)+[a-z]{2,}|\d+(?:\.\d+){3}|localhost)(?=[:/]|$)|[\w.-]+:\d+(?=/|$)", re.IGNORECASE)
"""How an address begins whose http:// was left out."""


def address_of(text: str) -> str:
    """An address as typed, or the whole path of a file, which may still have to come. Raises DeskError for neither."""
    if is_web(text):
        return text
    place = Path(text).expanduser()
    host = _HOST.match(text)
    alone = host and host.end() == len(text) and text.rpartition(".")[2].casefold() in FILE_ENDINGS
    if "://" in text or (host and not alone and not place.exists()):
        raise DeskError(
            f"`{text}` is no file on this disk, and an address begins with http:// or https://. Nothing was changed."
        )
    return str(place.resolve())


def column_map(text: str) -> dict[str, str]:
    """`price=Ausruf; title=Los` as a map of column to heading. Raises DeskError."""
    pairs = [part.partition("=") for part in text.split(";") if part.strip()]
    if any(not mark or not name.strip() or not heading.strip() for name, mark, heading in pairs):
        raise DeskError(
            f"Columns are written price=Ausruf; title=Los: our name, then the heading in the file; not "
            f"`{text}`. Nothing was changed."
        )
    return {name.strip(): heading.strip() for name, _, heading in pairs}


def put_source(desk: Desk, source: Source, over: str = "") -> None:
    """Keep a source, new or in the place of the one named `over`. Raises DeskError when it would push out another.

    Lots are kept under the name of their source: one that gave lots keeps its name."""
    if source.name != over and source.name in desk.sources:
        raise DeskError(f"There is a source {source.name} already; edit it, or give another name. Nothing was changed.")
    renamed = over in desk.sources and source.name != over
    if renamed and (lots := desk.shelf.store.listing.count_by("source").get(over, 0)):
        raise DeskError(
            f"{over} keeps its name, for its {lots} lots and what you decided stand under it; to have "
            f"{source.name} instead, drop {over} and add {source.name}, which reads all lots as new ones. "
            "Nothing was changed."
        )
    with desk.shelf.notebook.together():
        desk.shelf.notebook.sources.put(source)
        if renamed:
            desk.shelf.notebook.sources.drop(over)
            _teach_under(desk, over, source.name)
    if renamed:
        desk.shelf.store.feeds.forget(over)
    desk.forget()


def _teach_under(desk: Desk, before: str, name: str) -> None:
    """Words taught for a source follow its new name."""
    taught = [{**row, "source": name} for row in desk.corrections if row.get("source") == before]
    if taught:
        desk.shelf.notebook.corrections.put(*taught)


def drop_source(desk: Desk, name: str) -> None:
    """Drop a source; its lots and the decisions stay. Added again, it is read anew."""
    desk.shelf.notebook.sources.drop(name)
    desk.shelf.store.feeds.forget(name)
    desk.forget()
