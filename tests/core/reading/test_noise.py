"""What sellers put around a title must not change what the title says: forty base titles under seeded noise."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable

import pytest

from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

READER = Reader(
    Vocabulary(
        load(),
        ["QCG", "HNS"],
        catalogued=Catalogued(denominations=["10 lind", "1 tor", "5 tor"], countries=["Orvany"], mints=["M", "V", "S"]),
    )
)
BASES = (
    "Orvany|1 tor|1889-S|VF-20", "Orvany|1 tor|1889-S|VF20 QCG", "Orvany|5 tor|1893-M|MS-63 HNS",
    "Orvany|10 lind|1901|AU-55", "Orvanian|5 tor|1899-V|XF-45", "Orvany|10 lind|1918-V|MS65", "Orvany|1 tor|1880|G-6",
    "Orvany|1 tor|1912-M|F-12", "Orvany|five tor|1904-S|EF-40", "1 tor|Orvany|1890-V|AU58",
    "United States|half dollar|1921-S|VF-25", "USA|dime|1916-D|G-4", "US|quarter dollar|1932-S|XF-40",
    "USA|10c|1894|VG-8", "USA|dollar|1889-CC|VF-30", "USA|half dime|1838-O|F-15", "US|trade dollar|1877-S|AU-50",
    "Canada|50 cents|1911|VF-20", "Great Britain|crown|1847|EF-40", "Great Britain|sixpence|1893|MS-64",
    "Great Britain|half crown|1903|VF-30", "Australia|florin|1932|VF-20", "Australia|sovereign|1888-M|AU-55",
    "Germany|5 mark|1875-E|VF-20", "Germany|20 mark|1888-A|AU-53", "Prussia|thaler|1866-A|XF-40",
    "Austria|2 gulden|1879|MS-61", "Switzerland|5 francs|1890-B|VF-35", "France|20 francs|1866-BB|AU-50",
    "France|10 centimes|1865-A|MS-62", "Italy|5 lire|1879-R|XF-45", "Italy|20 lire|1863-T|AU-55",
    "Spain|5 pesetas|1871|VF-20", "Mexico|8 reales|1834-Zs|VF-30", "Netherlands|2.5 gulden|1872|AU-58",
    "Netherlands|10 gulden|1897|MS-64", "Sweden|2 kronor|1897|MS-60", "Russia|ruble|1896|XF-45",
    "Japan|yen|1914|MS-63", "Portugal|500 reis|1889|AU-55",
)  # fmt: skip
HYPE = (
    "RARE", "L@@K", "WOW!!", "AMAZING", "*** NICE ***", "MUST SEE", "KEY DATE", "INVESTMENT", "NO RESERVE", "🔥🔥",
    "⭐", "💰", "scarce", "great eye appeal", "old estate find", "beautiful", "BUY IT NOW", "super", "!!!", "👀",
    "TOP", "bargain", "hard to find", "silver", "original",
)  # fmt: skip
OFFERS = (
    "4,90€ Versand", "$3.50 shipping", "FREE SHIPPING", "free postage", "start 1 EUR", "€ 125", "$49.99", "£30",
    "ab 1 Euro", "+ 5 EUR shipping", "price 85 EUR", "NR", "from 9.99", "spedizione gratis", "port offert",
)  # fmt: skip
NUMBERS = ("Lot 412:", "Lot #88", "lot no. 1043", "#1207", "Los 214:", "Item 55:", "(ref. 4471)", "[1234]", "SKU 90871")
ENOUGH, ROUNDS = 0.95, 12
CHECKED = ("year", "mint", "denomination", "grade_low", "grade_high")

Noise = Callable[[random.Random, list[str]], str]


def hyped(chance: random.Random, parts: list[str]) -> str:
    return " ".join([chance.choice(HYPE), *parts, chance.choice(HYPE)])


def praised_inside(chance: random.Random, parts: list[str]) -> str:
    at = chance.randrange(len(parts) + 1)
    return " ".join([*parts[:at], chance.choice(HYPE), *parts[at:]])


def offered(chance: random.Random, parts: list[str]) -> str:
    return " ".join([*parts, chance.choice(OFFERS)] if chance.random() < 0.7 else [chance.choice(OFFERS), *parts])


def numbered(chance: random.Random, parts: list[str]) -> str:
    return " ".join([chance.choice(NUMBERS), *parts])


def shouted(chance: random.Random, parts: list[str]) -> str:
    return hyped(chance, parts).upper()


def small(_: random.Random, parts: list[str]) -> str:
    return " ".join(parts).lower()


def mistyped(chance: random.Random, parts: list[str]) -> str:
    """One slip in a word of seven letters or more, the first letter left alone."""
    text = " ".join(parts)
    places = [i for i in range(1, len(text) - 1) if _long(text, i)]
    if not places:
        return text
    at, kind = chance.choice(places), chance.randrange(3)
    if kind == 0:
        return text[:at] + text[at + 1 :]
    return text[:at] + text[at] + text[at:] if kind == 1 else text[: at - 1] + text[at] + text[at - 1] + text[at + 1 :]


def _long(text: str, at: int) -> bool:
    start = text.rfind(" ", 0, at) + 1
    end = text.find(" ", at) if " " in text[at:] else len(text)
    return end - start >= 7 and text[start:end].isalpha() and start + 2 <= at < end - 1


def glued(chance: random.Random, parts: list[str]) -> str:
    """One blank between two fields is missing; between two small letters nobody could tell."""
    at = chance.randrange(1, len(parts))
    one, two = parts[at - 1], parts[at]
    blank = " " if (one[-1].isdigit() and two[0].isdigit()) or (one[-1].isalpha() and two[0].islower()) else ""
    return " ".join(parts[:at]) + blank + " ".join(parts[at:])


def punctuated(chance: random.Random, parts: list[str]) -> str:
    return chance.choice([", ", " - ", " / ", " | ", ". ", " * ", "; "]).join(parts)


def shuffled(chance: random.Random, parts: list[str]) -> str:
    """The fields in any order, with or without signs between."""
    parts = chance.sample(parts, len(parts))
    return punctuated(chance, parts) if chance.random() < 0.5 else " ".join(parts)


def glued_small(chance: random.Random, parts: list[str]) -> str:
    return glued(chance, parts).lower()


def everything(chance: random.Random, parts: list[str]) -> str:
    text = offered(chance, [chance.choice(NUMBERS), *parts, chance.choice(HYPE)])
    return text.upper() if chance.random() < 0.3 else text


NOISES = (
    hyped, praised_inside, offered, numbered, shouted, small, mistyped, glued, punctuated, shuffled, glued_small,
    everything,
)  # fmt: skip


def wrong(noise: Noise) -> tuple[list[str], int]:
    """Variants that are read otherwise than their base, and how many variants there were."""
    chance, out, count = random.Random(f"noise {noise.__name__}"), [], 0
    for base in BASES:
        parts = base.split("|")
        want = READER.read(" ".join(parts))
        for _ in range(ROUNDS):
            text = noise(chance, parts)
            read = READER.read(text)
            bad = [f"{n}={getattr(read, n)}" for n in CHECKED if getattr(read, n) != getattr(want, n)]
            count += 1
            if bad:
                out.append(f"{text!r}: {', '.join(bad)}")
    return out, count


@pytest.mark.parametrize("base", BASES)
def test_the_base_titles_are_read(base: str) -> None:
    read = READER.read(base.replace("|", " "))
    assert read.denomination
    assert str(read.year) in base
    assert f"{read.year}{'-' + read.mint if read.mint else ''}" in base.replace(" ", "|").split("|")
    assert read.grade_low == read.grade_high is not None


@pytest.mark.parametrize("noise", NOISES)
def test_noise_changes_nothing(noise: Noise) -> None:
    out, count = wrong(noise)
    assert len(out) <= (1 - ENOUGH) * count, "\n".join(out)


if __name__ == "__main__":
    for noise in NOISES:
        out, count = wrong(noise)
        print(f"{noise.__name__:16} {100 * (1 - len(out) / count):5.1f} %")
        for line in Counter(out):
            print("   ", line)
