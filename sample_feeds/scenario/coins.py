"""The coins of Orvany: about 150 issues in five series, with their mintages and what the market pays for them."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace
from statistics import median

COUNTRY = "Orvany"
SHORT = {"10 lind": "10L", "1 tor": "1T", "5 tor": "5T"}


@dataclass(frozen=True, slots=True)
class Series:
    """Denomination and type: specification, years, mintages and the price of a usual piece."""

    denomination: str
    type: str
    years: range
    counts: tuple[tuple[str, int], ...]
    """How many years each mint struck."""
    main_mintage: int
    branch_mintage: int
    metal: str
    weight_g: str
    diameter_mm: str
    thickness_mm: str
    tolerance_g: str
    base: float
    """Home currency, all-in, of a piece of median mintage in VF-30."""
    floor: float
    """What any piece brings: metal and handling."""
    wear: float
    """Slope of the grade curve below mint state."""
    gem: float
    """Slope of the grade curve above it."""


BRONZE = ("bronze .950", "5.00", "25.0", "1.5", "0.13")
MARK = ("silver .835", "5.00", "23.0", "1.4", "0.05")
THALER = ("silver .900", "25.00", "37.0", "2.6", "0.075")

SERIES = (
    Series(
        "10 lind",
        "Shield",
        range(1879, 1898),
        (("", 15), ("M", 6), ("V", 4), ("S", 4)),
        3_800_000,
        520_000,
        *BRONZE,
        10.0,
        3.5,
        1.15,
        1.1,
    ),
    Series(
        "10 lind",
        "Sheaf",
        range(1898, 1920),
        (("", 17), ("M", 7), ("V", 6), ("S", 4)),
        5_200_000,
        800_000,
        *BRONZE,
        8.0,
        3.5,
        1.1,
        1.0,
    ),
    Series(
        "1 tor",
        "Stag",
        range(1880, 1900),
        (("", 14), ("M", 7), ("V", 6), ("S", 6)),
        1_400_000,
        260_000,
        *MARK,
        26.0,
        4.5,
        1.0,
        1.0,
    ),
    Series(
        "1 tor",
        "Oak",
        range(1900, 1918),
        (("", 12), ("M", 6), ("V", 5), ("S", 4)),
        1_900_000,
        310_000,
        *MARK,
        20.0,
        4.5,
        0.95,
        0.9,
    ),
    Series(
        "5 tor",
        "Galley",
        range(1882, 1915),
        (("", 13), ("M", 6), ("V", 5), ("S", 4)),
        310_000,
        74_000,
        *THALER,
        78.0,
        17.0,
        0.8,
        0.95,
    ),
)

NEVER_STRUCK = (("5 tor", 1898, "S"), ("1 tor", 1893, "S"), ("10 lind", 1901, "M"))
"""Dates and mints that no catalogue has; the sample offers two of them all the same."""

# (denomination, year, mint): mintage, copied, hoarded, note
SPECIAL: dict[tuple[str, int, str], tuple[int, bool, bool, str]] = {
    ("10 lind", 1879, ""): (210_000, False, False, "first year"),
    ("10 lind", 1886, "S"): (41_000, False, False, "scarce"),
    ("10 lind", 1899, "V"): (36_000, True, False, "added mint marks known"),
    ("10 lind", 1913, "S"): (58_000, False, False, ""),
    ("1 tor", 1880, "M"): (31_000, False, False, "first year of the branch mint"),
    ("1 tor", 1887, ""): (980_000, False, False, ""),
    ("1 tor", 1889, "S"): (19_000, True, False, "counterfeits known"),
    ("1 tor", 1893, "V"): (27_000, True, False, "altered dates known"),
    ("1 tor", 1911, "M"): (44_000, False, False, "most were melted in 1915"),
    ("1 tor", 1916, "V"): (62_000, False, False, ""),
    ("5 tor", 1884, "M"): (8_400, True, False, "counterfeits known, cast and struck"),
    ("5 tor", 1891, ""): (15_500, False, True, "a hoard of bright pieces came to light in 1964"),
    ("5 tor", 1895, "V"): (12_900, False, False, ""),
    ("5 tor", 1907, "S"): (9_800, True, False, "counterfeits known"),
    ("5 tor", 1912, "V"): (21_000, False, False, "scarce in any grade"),
}

ALSO_STRUCK = (
    ("5 tor", 1894, ""),
    ("5 tor", 1896, ""),
    ("5 tor", 1898, ""),
    ("5 tor", 1900, "V"),
    ("5 tor", 1905, ""),
    ("1 tor", 1912, ""),
    ("10 lind", 1912, ""),
)
"""Usual issues that the story speaks of by name."""

VARIETIES: dict[tuple[str, int, str], tuple[tuple[str, float], ...]] = {
    ("1 tor", 1887, ""): (("", 0.97), ("overdate 7/6", 0.03)),
    ("10 lind", 1905, ""): (("large date", 0.9), ("small date", 0.1)),
}
"""Share of the mintage, which sets the price as a mintage would."""


@dataclass(frozen=True, slots=True)
class Coin:
    """One issue, with the truth that only the generator knows."""

    key: str
    series: Series
    year: int
    mint: str
    variety: str
    mintage: int
    copied: bool
    hoarded: bool
    note: str
    level: float = 0.0
    """ln of the price in VF-30 above the floor, home currency, all-in."""
    tilt: float = 0.0
    """How much steeper than its series it rises with the grade."""

    @property
    def denomination(self) -> str:
        """As the catalogue writes it: `5 tor`."""
        return self.series.denomination


def catalogue(rng: random.Random) -> list[Coin]:
    """All issues in the order of a catalogue, levels drawn from the mintages."""
    coins: list[Coin] = []
    for series in SERIES:
        struck = sorted(_struck(series, rng), key=lambda pair: (pair[0], pair[1]))
        coins += _valued([c for year, mint in struck for c in _issues(series, year, mint, rng)], rng)
    return coins


def _struck(series: Series, rng: random.Random) -> set[tuple[int, str]]:
    """Years and marks: the ones the story needs, then a draw up to each mint's count."""
    out: set[tuple[int, str]] = set()
    for mint, count in series.counts:
        fixed = [
            y
            for d, y, m in (*SPECIAL, *VARIETIES, *ALSO_STRUCK)
            if d == series.denomination and m == mint and y in series.years
        ]
        free = [y for y in series.years if y not in fixed and (series.denomination, y, mint) not in NEVER_STRUCK]
        out |= {(year, mint) for year in [*sorted(set(fixed)), *rng.sample(free, count - len(set(fixed)))]}
    return out


def _issues(series: Series, year: int, mint: str, rng: random.Random) -> list[Coin]:
    usual = series.branch_mintage if mint else series.main_mintage
    spot = (series.denomination, year, mint)
    drawn = round(usual * math.exp(rng.gauss(0, 0.55)), -3)
    mintage, copied, hoarded, note = SPECIAL.get(spot, (int(drawn), False, False, ""))
    out = []
    for variety, share in VARIETIES.get(spot, (("", 1.0),)):
        key = f"OR-{SHORT[series.denomination]}-{year}{mint}" + _initials(variety)
        words = "share of the year's mintage, by survivors" if variety else note
        out.append(Coin(key, series, year, mint, variety, int(mintage * share), copied, hoarded, words))
    return out


def _initials(variety: str) -> str:
    """`-LD` of a large date, `-76` of an overdate 7/6."""
    digits = "".join(ch for ch in variety if ch.isdigit())
    return f"-{digits or ''.join(word[0] for word in variety.split()).upper()}" if variety else ""


def _valued(coins: list[Coin], rng: random.Random) -> list[Coin]:
    """A scarcer issue costs more, by about the square root of the mintage, with its own luck on top."""
    middle = math.log(median(c.mintage for c in coins))
    out = []
    for coin in coins:
        rarity = middle - math.log(coin.mintage)
        level = math.log(coin.series.base) + 0.55 * rarity + rng.gauss(0, 0.22)
        out.append(replace(coin, level=level, tilt=rng.gauss(0.03 * rarity, 0.1)))
    return out


def catalogue_rows(coins: list[Coin]) -> list[dict[str, str]]:
    """Rows of catalogue.csv; a variety carries its share of the year's mintage."""
    return [
        {
            "issue": c.key,
            "country": COUNTRY,
            "denomination": c.denomination,
            "year": str(c.year),
            "mint": c.mint,
            "variety": c.variety,
            "type": c.series.type,
            "mintage": str(c.mintage),
            "metal": c.series.metal,
            "weight_g": c.series.weight_g,
            "diameter_mm": c.series.diameter_mm,
            "thickness_mm": c.series.thickness_mm,
            "weight_tolerance_g": c.series.tolerance_g,
            "copied": "yes" if c.copied else "no",
            "note": c.note,
        }
        for c in coins
    ]
