"""Forms: a venue with its terms, a source, a want, a lot by hand, an import. Tab moves, Enter keeps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from watchlist.screens.form import Field, Form
from watchlist.screens.sentences import named

if TYPE_CHECKING:
    from watchlist.core.fees.terms import Terms
    from watchlist.core.lots.source import Source
    from watchlist.core.marks.record import Want
    from watchlist.desk.desk import Desk
    from watchlist.desk.importing import ImportReport
    from watchlist.shelf.store.rows import LotRow


class WantForm(Form):
    """A want, new or changed."""

    TITLE = "Want"

    def __init__(self, want: Want | None) -> None:
        super().__init__(_want_fields(want), about=want.id if want else "")
        self._was = want

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep it; then all open lots are judged anew."""

        def job(desk: Desk) -> Want:
            from watchlist.desk.wanting import put_want

            return put_want(desk, typed, self._was.id if self._was else "")

        def done(want: Want) -> None:
            from watchlist.page.wants import line
            from watchlist.screens.want_changes import wants_changed

            self.close_form()
            wants_changed(self.program, f"{want.id}: {line(want)}.", f"want {want.id}", want.id, self._was)

        self.program.work.write("Keeping the want", job, done)


def _want_fields(want: Want | None) -> Sequence[Field]:
    from watchlist.page.wants import coin

    def amount(value: object) -> str:
        return str(value).replace(",", "") if value else ""

    low, high = (want.min_grade, want.max_grade) if want else (None, None)
    grade = f"{low}-{high}" if low and high else str(low or "")
    return (
        Field("coin", "COUNTRY DENOMINATION YEAR-MINT, or an issue key", coin(want) if want else ""),
        Field("grade", "40-55, VF-30 or VF; empty: any", grade),
        Field("ceiling", "the most to pay, all-in: 300 EUR", amount(want.ceiling) if want else ""),
        Field("certified", "yes: only certified pieces", "yes" if want and want.certified else ""),
        Field("low", "your own band where sales are few", amount(want.low) if want else ""),
        Field("high", "", amount(want.high) if want else ""),
        Field("quantity", "how many", str(want.quantity) if want else "1"),
        Field("filled", "how many you have", str(want.filled) if want else "0"),
        Field("upgrade", "yes: keep asking when filled", "yes" if want and want.upgrade else ""),
        Field("note", "", want.note if want else ""),
    )


TERM_HINTS: Mapping[str, str] = {
    "venue": "its name",
    "kind": "auction, marketplace, dealer or club",
    "currency": "EUR",
    "premium_pct": "20; tiers: 0:25; 5000:20 (whole 0:25; 1000:20: on the whole price)",
    "min_premium": "least premium a lot",
    "internet_fee_pct": "per cent of the hammer",
    "vat_on_premium_pct": "VAT on fees, per cent",
    "vat_on_hammer_pct": "per cent",
    "shipping": "post for one lot",
    "insurance_pct": "per cent",
    "sales_tax_pct": "per cent",
    "duty_pct": "per cent",
    "import_vat_pct": "per cent",
    "handling": "amount",
    "payment_fee_pct": "per cent",
    "bid_steps": "0:5;100:10;500:25",
    "time_zone": "Europe/Berlin",
    "checked": "the day you compared these with the venue's own: 2026-11-25",
}


class VenueForm(Form):
    """A venue with its terms."""

    TITLE = "Venue"

    def __init__(self, terms: Terms | None) -> None:
        known: dict[str, str] = {}
        if terms is not None:
            from watchlist.core.fees.row import terms_to_row

            known = terms_to_row(terms)
            if known.pop("premium", ""):  # tiers, in the words of the form
                known |= {"premium_pct": terms.premium.text(), "min_premium": f"{terms.premium.minimum.normalize():f}"}
        self._was, self._over = terms, terms.venue if terms else ""
        fields = [Field(name, hint, str(known.get(name, "") or "")) for name, hint in TERM_HINTS.items()]
        super().__init__(fields, about=self._over)

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep it; then prices and marks follow. Another name makes another venue."""
        over = self._over

        def job(desk: Desk) -> str:
            from watchlist.desk.wanting import put_venue

            return put_venue(desk, typed, over)

        def settle(desk: Desk) -> None:
            from watchlist.desk.following import ALL, follow_issues

            follow_issues(desk, (ALL,))

        def done(kept: str) -> None:
            from watchlist.desk.wanting import restore_venue

            self.close_form()
            first = f"; {over} stays as it was" if over not in ("", kept) else ""
            before = self._was if kept == over else None
            self.program.work.write("Prices and marks follow", settle, stoppable=True)
            self.program.writer.can_take_back(
                f"terms of {kept}", lambda desk: restore_venue(desk, kept, before), settle
            )
            self.program.messages.say(f"{kept}: kept with its terms{first}. 5, then a, adds a source.")

        self.program.writer.write(f"Venue {typed.get('venue', '')}", job, done, long=True)


class SourceForm(Form):
    """A source; Enter keeps it and reads it once to show what comes."""

    TITLE = "Source"

    def __init__(self, source: Source | None, at: str = "", learned: Mapping[str, str] | None = None) -> None:
        self._was, self._over = source, source.name if source else ""
        known = (source.columns or learned or {}) if source else {}
        columns = "; ".join(f"{name}={head}" for name, head in known.items())
        names = (
            ("name", "a short word of your own"),
            ("address", "https://... of a feed, or a file"),
            ("venue", "as in your list of venues"),
            ("kind", "empty: told by what comes; else rss, json, csv"),
            ("columns", "price=Ausruf; title=Los: only where a heading is not known"),
            ("currency", "of prices without one"),
            ("price_kind", "fixed, so far, estimate or ended, where all are alike"),
            ("time_zone", "of times without one"),
            ("date_order", "dmy or mdy; empty: learnt"),
            ("decimal_mark", ", or .; empty: learnt"),
            ("encoding", "empty: told by what comes"),
        )
        super().__init__(
            [
                Field(
                    name, hint, columns if name == "columns" else str(getattr(source, name, "") or "") if source else ""
                )
                for name, hint in names
            ],
            at=at,
            about=self._over,
        )

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep it, then read it once."""
        from watchlist.desk.wanting import put_source, source_from

        over, before = self._over, self._was

        def job(desk: Desk) -> Source:
            source = source_from(desk, typed, over)
            put_source(desk, source, over)
            return source

        def done(source: Source) -> None:
            from watchlist.desk.wanting import restore_source
            from watchlist.screens.source_trial import try_out

            self.program.changes.happened(all=True)
            self.close_form()
            self.program.writer.can_take_back(
                f"source {source.name}", lambda desk: restore_source(desk, source.name, before)
            )
            self.program.messages.say(
                f"{source.name}: kept. {self.program.keys.first('gather')} gathers; first it is read once:"
            )
            try_out(self.program, source)

        self.program.writer.write(f"Source {typed.get('name', '')}", job, done)


class LotForm(Form):
    """A lot by hand: from a fair, a paper catalogue, a mail."""

    TITLE = "Lot"

    def __init__(self) -> None:
        names = (
            ("title", "as it is offered, with coin, year and grade"),
            ("venue", "as in your list of venues"),
            ("id", "lot number; empty: made up"),
            ("price", "120 EUR"),
            ("price_kind", "fixed, so far, estimate"),
            ("closes", "27 Nov 2026 19:00"),
            ("seller", ""),
            ("feedback", "the seller's count"),
            ("link", "https://..."),
            ("description", ""),
        )
        super().__init__([Field(name, hint) for name, hint in names])

    def keep(self, typed: Mapping[str, str]) -> None:
        """Read, judge and keep it; the Tray then stands on it."""
        from watchlist.desk.adding import Typed, add_lot
        from watchlist.desk.errors import DeskError
        from watchlist.page.wording import mark_words

        if not typed.get("title"):
            raise DeskError("A lot needs a title. Nothing was kept.")

        def done(row: LotRow) -> None:
            self.close_form()
            self.program.changes.happened()
            self.program.windows.stand_on(row.lot.key)
            mark = f" {mark_words(row.judgement)}." if row.judgement else ""
            self.program.messages.say(f"Kept: {named(row.lot.title)}.{mark}")

        self.program.writer.write(f"Lot {typed['title']}", lambda desk: add_lot(desk, Typed(**typed)), done)


class ImportForm(Form):
    """A file of one's own: Enter says what would be read, Enter again reads it."""

    TITLE = "Import"

    def __init__(self) -> None:
        super().__init__(
            [
                Field("kind", "catalogue, prices, wants, guide, terms or rates"),
                Field("file", "a CSV file"),
                Field("encoding", "empty: told by the file"),
            ]
        )
        self._seen: Mapping[str, str] = {}

    def keep(self, typed: Mapping[str, str]) -> None:
        """A dry run first, then the import."""
        from watchlist.desk.errors import DeskError
        from watchlist.desk.importing import KINDS, bytes_of, import_file, settle_all

        kind = typed.get("kind", "").casefold()
        if kind not in KINDS:
            raise DeskError(f"The kind is {', '.join(KINDS)}, not `{kind}`. Nothing was changed.")
        path = Path(typed.get("file", "")).expanduser()
        if path.exists() and not path.is_file():
            raise DeskError(f"{path} is no file. Nothing was changed.")
        dry, encoding = self._seen != typed, typed.get("encoding", "")

        def job(desk: Desk) -> ImportReport:
            return import_file(
                desk, kind, bytes_of(path), path.name, encoding=encoding, dry_run=dry, progress=desk.going, settle=False
            )

        def settle(desk: Desk) -> None:
            settle_all(desk, reread=kind == "catalogue", progress=desk.going)

        def done(report: ImportReport) -> None:
            self._seen = dict(typed)
            if not dry:
                self.taken(typed)
            self.show_text(told(report))
            self.program.messages.say(
                f"{report.kind}: {report.rows} rows, {report.taken} {'would be ' if dry else ''}taken, "
                f"{len(report.set_aside)} set aside.{' Enter takes them.' if dry else ''}"
            )
            if not dry and report.taken:
                self.program.work.write("Prices and marks follow", settle, stoppable=True)

        if dry:
            self.program.work.look_up(f"Reading {path.name}", job, done)
        else:
            self.program.work.write(f"Reading {path.name}", job, done, stoppable=True)


def told(report: ImportReport) -> list[str]:
    """What an import read and what it set aside."""
    there = f", {report.repeated} there already" if report.repeated else ""
    text = [
        f"{report.rows} rows read, {report.taken} {'would be ' if report.dry_run else ''}taken{there}, "
        f"{len(report.set_aside)} set aside."
    ]
    if report.columns:
        text.append("Columns: " + "; ".join(f"{name}={heading}" for name, heading in report.columns.items()))
    text += [f"{report.file}, {aside}" for aside in report.set_aside[:12]]
    if len(report.set_aside) > 12:
        text.append(f"and {len(report.set_aside) - 12} more set aside")
    return [*text, *report.notes]
