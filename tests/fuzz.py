"""Mangled feeds, files and titles, the same ones each time. Not part of the suite; run by hand.

python -m tests.fuzz [CASES] [SEED]     10,000 cases with seed 12 unless told otherwise

Each case is a good feed, list or title with bytes changed, cut out, doubled or put in from a list of what parsers
stumble over. A case fails that raises, that lets a control or direction mark through, or that takes longer than a
second of processor time."""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from contextlib import suppress

from tests.core.made_imports import CATALOGUE, context
from tests.feeds import samples
from watchlist import words
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.imports.record import ImportRefused
from watchlist.core.lots.source import Source
from watchlist.desk.reader import build_reader
from watchlist.feeds.read import read_entries
from watchlist.feeds.table import read_table

CASES, SEED, SECONDS = 10_000, 12, 1.0
PIECES = (
    b"<", b">", b"&", b"]]>", b"<![CDATA[", b"<!--", b"-->", b"<s>", b"</del>", b"&#x1b;", b"&#8238;", b"\0",
    b"\x1b[2J", b"\xff", b"\xed\xa0\x80", b"\xe2\x80\xae", "²".encode(), "①".encode(), b'"', b'""', b"'", b",,,,",
    b";", b"\r", b"\n", b"{", b"[", b"1e999", b"9" * 400, b"-0", b"NaN", b"<!DOCTYPE", b"<!ENTITY a 'b'>", b"&a;",
    b"xmlns:a=''", b"\xef\xbb\xbf",
)  # fmt: skip
PRICES = (
    b"sale_date,country,denomination,year,mint,grade,hammer,currency,source,title\n"
    b"2024-03-01,Orvany,5 tor,1893,V,VF-30,410.00,EUR,Lindmoor Sales,5 tor 1893-V VF\n"
    b"2024-04-01,Orvany,10 lind,1884,,XF,1.250,EUR,Fen Sales,\n"
)
UNSEEN = "\x1b\u202e\u0000"


def feed(body: bytes) -> None:
    """A body from the network."""
    for entry in read_entries(Source("fuzz", "https://fuzz.example/feed"), body).entries:
        assert not set(UNSEEN) & set(entry.title + entry.description), "a mark that cannot be seen came through"
        READER.read(entry.title, entry.description)


def prices(body: bytes) -> None:
    """A file of the person's own."""
    table = read_table(body, synonyms=words.load("columns"), kind="prices")
    with suppress(ImportRefused):  # the file as a whole was refused, in words
        take(KINDS["prices"], table, context())


def title(body: bytes) -> None:
    """A title alone."""
    READER.read(body.decode("utf-8", "replace"))


READER = build_reader(words.load(), ("QCG", "HNS"), CATALOGUE, ())
TRIED: tuple[tuple[Callable[[bytes], None], bytes], ...] = (
    *((feed, text.encode()) for text in vars(samples).values() if isinstance(text, str) and len(text) > 200),
    (prices, PRICES),
    (title, b"Orvany 5 tor 1893-V VF-30, toned, cleaned; 1/2 crown 1842/1 'rare' 80,- EUR"),
)


def mangled(body: bytes, chance: random.Random) -> bytes:
    """The body with one to six changes."""
    made = bytearray(body)
    for _ in range(chance.randint(1, 6)):
        at, long = chance.randrange(len(made) + 1), chance.choice((1, 1, 2, 8, 60))
        match chance.randrange(4):
            case 0:
                made[at : at + 1] = bytes((chance.randrange(256),))
            case 1:
                del made[at : at + long]
            case 2:
                made[at:at] = made[at : at + long] * chance.choice((1, 2, 50))
            case _:
                made[at:at] = chance.choice(PIECES)
    return bytes(made)


def fuzz(cases: int, seed: int) -> int:
    """How many cases failed; each is told with what it takes to see it again."""
    failed, slowest = 0, 0.0
    for number in range(cases):
        chance = random.Random(seed * 1_000_000 + number)
        read, body = chance.choice(TRIED)
        case, start = mangled(body, chance), time.process_time()
        try:
            read(case)
        except Exception as error:
            failed += 1
            print(f"case {number} of seed {seed}, {read.__name__}: {error!r}\n{case[:300]!r}")
        spent = time.process_time() - start
        slowest = max(slowest, spent)
        if spent > SECONDS:
            failed += 1
            print(f"case {number} of seed {seed}, {read.__name__}: {spent:.1f} s")
    print(f"{cases:,} cases, seed {seed}: {failed} failed; the slowest took {slowest * 1000:.0f} ms")
    return failed


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:3]]
    sys.exit(bool(fuzz(*(given + [CASES, SEED][len(given) :]))))
