"""watchlist read: how titles are read; --correct mends a lot or teaches a word."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.cli.verbs.import_ import read_bytes
from watchlist.core.reading.asjson import to_json
from watchlist.core.reading.record import Reading
from watchlist.desk.decisions import correcting
from watchlist.desk.desk import Desk
from watchlist.desk.due import TITLES
from watchlist.desk.errors import DeskError
from watchlist.desk.settling import settle
from watchlist.desk.titles.titles import read_titles
from watchlist.page.troubles import trouble_line
from watchlist.page.wording import grades


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument(
        "file",
        metavar="FILE",
        nargs="?",
        default="-",
        help="one title per line, or a CSV file of lots; - is standard input",
    )
    parser.add_argument(
        "--correct",
        nargs="+",
        metavar="WORDS",
        default=None,
        help="KEY FIELD=VALUE corrects a lot; WORDS FIELD=VALUE [source:NAME] teaches a word; list; drop ID",
    )


def run(args: Namespace) -> int:
    """Read titles, one a line or in a table with other columns, or correct."""
    if args.correct is not None:
        return _correct(args)
    with session.desk(args, write=False) as desk:
        if args.file == "-" and sys.stdin.isatty():
            out.talk("One title per line; ctrl+d ends.")
        readings, troubles = read_titles(desk, read_bytes(args.file), Path(args.file).name)
        for trouble in troubles:
            out.talk(trouble_line(trouble))
        for reading in readings:
            if args.json:
                out.record(to_json(reading))
            else:
                out.data(plain(reading))
    return out.DONE


def plain(reading: Reading) -> str:
    """A reading on one line, each field with the words it rests on."""
    words = {span.field: span.text for span in reading.spans}
    fields = [
        ("country", reading.country),
        ("denomination", reading.denomination),
        ("year", reading.year or ", ".join(map(str, reading.years))),
        ("mint", reading.mint),
        ("variety", reading.variety),
        ("grade", grades(reading.grade_low, reading.grade_high)),
        ("service", reading.service),
        ("number", reading.cert_number),
        ("designations", ", ".join(reading.designations)),
        ("problems", ", ".join(reading.problems)),
        ("quantity", reading.quantity or ("several" if reading.multiple else "")),
        ("copy", "yes" if reading.replica else ""),
        ("not sure", ", ".join(reading.unsure)),
    ]
    told = [f"{name} {value}{_resting(words.get(name, ''), str(value))}" for name, value in fields if value]
    return (
        f"{reading.title}\n  {'; '.join(told) or 'nothing could be identified'}. Confidence {reading.confidence:.0%}."
    )


def _resting(words: str, value: str) -> str:
    """The words a field rests on, where they are not the field itself."""
    return f' ("{words}")' if words.casefold() not in ("", value.casefold()) else ""


def _correct(args: Namespace) -> int:
    words = args.correct
    if words == ["list"]:
        return _list(args)
    with session.desk(args, write=True) as desk:
        if len(words) == 2 and words[0] == "drop":
            correcting.drop(desk, words[1])
            settle(desk, TITLES)
            out.talk(f"{words[1]}: removed; open lots were read again.")
        else:
            out.talk(_apply(desk, words))
    return out.DONE


def _apply(desk: Desk, words: list[str]) -> str:
    """`KEY FIELD=VALUE`, or `WORDS FIELD=VALUE [source:NAME]`."""
    source = next((word.removeprefix("source:") for word in words if word.startswith("source:")), "")
    rest = [word for word in words if not word.startswith("source:")]
    if len(rest) != 2 or "=" not in rest[1]:
        raise DeskError(
            "Write KEY FIELD=VALUE to correct a lot, or WORDS FIELD=VALUE to teach a word; "
            "`watchlist read --correct list` lists what was taught."
        )
    what, (field, _, value) = rest[0], rest[1].partition("=")
    if desk.shelf.store.lots.find(what):
        row = correcting.mend(desk, what, {field.strip(): value})
        mark = row.judgement.mark if row.judgement else "unclear"
        return f"{row.lot.key}: {field} is {value or 'empty'} now, marked {mark}"
    id = correcting.teach(desk, what, field.strip(), value, source)
    settle(desk, TITLES)
    where = f" in {source}" if source else ""
    return f'{id}: "{what}" means {field} {value}{where}; open lots were read again.'


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        found = correcting.listed(desk)
        for row in found:
            if args.json:
                out.record(dict(row))
            else:
                what = row["lot"] if row["kind"] == "lot" else f'"{row["words"]}"'
                where = f" in {row['source']}" if row.get("source") else ""
                out.data(f"{row['id']}: {what}: {row['field']} = {row['value']}{where}")
        if not found:
            out.talk("Nothing was corrected yet.")
    return out.DONE
