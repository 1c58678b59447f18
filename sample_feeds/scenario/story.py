"""The lots that the morning is about: bargains, doubts, copies, near misses, and things that are hard to read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from scenario.coins import Coin
from scenario.lots import Plan
from scenario.market import lower, value
from scenario.prices import Sold, Want

BERLIN, LONDON, NEW_YORK = ZoneInfo("Europe/Berlin"), ZoneInfo("Europe/London"), ZoneInfo("America/New_York")
LINDMOOR_TODAY = datetime(2026, 3, 3, 14, 0, tzinfo=LONDON)
BRANNENTAL_TODAY = datetime(2026, 3, 3, 18, 0, tzinfo=BERLIN)
WEXBY_TODAY = datetime(2026, 3, 3, 11, 45, tzinfo=NEW_YORK)
LAST_NIGHT = datetime(2026, 3, 2, 21, 0, tzinfo=NEW_YORK)


class Cast:
    """Coins and wants by name, for a story that speaks of `5 tor 1884 M`."""

    def __init__(self, coins: Sequence[Coin], wants: Sequence[Want], sold: Sequence[Sold]) -> None:
        self.coins, self.wants, self.sold = coins, wants, sold
        self.wanted = {w.coin.key for w in wants}

    def coin(self, denomination: str, year: int, mint: str = "", variety: str = "") -> Coin:
        """The issue of that name; it must be in the catalogue."""
        return next(
            c for c in self.coins if (c.denomination, c.year, c.mint, c.variety) == (denomination, year, mint, variety)
        )

    def plain(self) -> list[Want]:
        """Wants on issues without a name for copies, and without a condition on the holder."""
        return [w for w in self.wants if not w.coin.copied and not w.coin.hoarded and not w.certified]

    def old_number(self, service: str) -> Sold:
        """A certified sale of a usual piece in AU: its number will be met again."""
        return next(
            s
            for s in self.sold
            if s.service == service
            and 50 <= s.stated <= 58
            and not s.problem
            and not s.coin.copied
            and s.coin.denomination == "1 tor"
        )


def story(cast: Cast) -> list[Plan]:
    """All lots of the story."""
    return [
        *_bargains(cast),
        *_fakes(cast),
        *_copies(cast),
        *_honest_on_copied_dates(cast),
        *_near_misses(cast),
        *_hard_to_read(cast),
        *_others(cast),
    ]


def _bargains(cast: Cast) -> list[Plan]:
    """Real bargains: five at the dealer's, two in holders on the marketplace, three under the hammer today."""
    want = cast.plain()
    held = [w for w in cast.wants if w.certified and not w.coin.copied]

    def dealer(w: Want, ratio: float, weight: str = "", listed: str = "both") -> Plan:
        return Plan(
            "ostrell", "bargain", w.coin, lower(w.high, 2), ratio=ratio, fixed=True, weight=weight, listed=listed
        )

    def market(w: Want, service: str, ratio: float, seller: str, ratings: int, listed: str = "both") -> Plan:
        return Plan(
            "wexby",
            "bargain",
            w.coin,
            lower(w.high, 2),
            held=service,
            ratio=ratio,
            fixed=True,
            seller=seller,
            ratings=ratings,
            listed=listed,
        )

    def hammer(w: Want, source: str, ratio: float, closes: datetime, service: str = "") -> Plan:
        return Plan(source, "bargain", w.coin, lower(w.high, 2), held=service, ratio=ratio, closes=closes)

    hoard = next(w for w in cast.wants if w.coin.hoarded)
    return [
        dealer(want[1], 0.56),
        dealer(want[3], 0.58, weight="4.95"),
        dealer(want[9], 0.6, listed="today"),
        dealer(want[11], 0.57, listed="today"),
        dealer(want[17], 0.55, listed="today"),
        market(held[0], "QCG", 0.58, "copperleaf", 2210, listed="today"),
        market(hoard, "HNS", 0.6, "old-ledger", 845),
        hammer(want[6], "lindmoor", 0.52, LINDMOOR_TODAY, "QCG"),
        hammer(want[12], "lindmoor", 0.5, LINDMOOR_TODAY),
        hammer(want[15], "brannental", 0.48, BRANNENTAL_TODAY),
    ]


def _fakes(cast: Cast) -> list[Plan]:
    """Pieces that are not what they are said to be, each with one chief sign."""
    stag, galley = cast.coin("1 tor", 1889, "S"), cast.coin("5 tor", 1884, "M")
    altered, south, velden = cast.coin("1 tor", 1893, "V"), cast.coin("5 tor", 1907, "S"), cast.coin("5 tor", 1895, "V")
    number = cast.old_number("QCG").cert
    twice = "44.719.17H"
    return [
        Plan(
            "wexby",
            "fake",
            stag,
            40,
            ratio=0.16,
            fixed=True,
            sign="price",
            seller="bright_day_sale",
            ratings=2,
            talk="Found in a drawer of my late uncle. I know nothing about coins.",
            listed="today",
        ),
        Plan(
            "wexby",
            "fake",
            galley,
            30,
            ratio=0.72,
            fixed=True,
            sign="weight",
            weight="22.9",
            seller="tinderbox_9",
            ratings=163,
        ),
        Plan(
            "brannental",
            "fake",
            south,
            40,
            ratio=0.4,
            sign="weight",
            weight="26.1",
            closes=datetime(2026, 3, 6, 19, 12, tzinfo=BERLIN),
        ),
        Plan(
            "wexby",
            "fake",
            cast.coin("5 tor", 1898),
            40,
            spot=("5 tor", 1898, "S"),
            ratio=1.1,
            fixed=True,
            sign="never struck",
            seller="saltmarsh77",
            ratings=388,
            listed="today",
        ),
        Plan(
            "brannental",
            "fake",
            altered,
            25,
            spot=("1 tor", 1893, "S"),
            ratio=0.3,
            sign="never struck",
            closes=datetime(2026, 3, 10, 17, 48, tzinfo=BERLIN),
        ),
        Plan(
            "wexby",
            "fake",
            altered,
            50,
            held="QCG",
            cert=number,
            ratio=0.62,
            fixed=True,
            sign="certificate",
            seller="north-attic",
            ratings=57,
        ),
        Plan(
            "wexby",
            "fake",
            velden,
            45,
            held="HNS",
            cert=twice,
            ratio=0.6,
            fixed=True,
            sign="certificate",
            seller="quick_slab_deals",
            ratings=31,
        ),
        Plan(
            "wexby",
            "fake",
            galley,
            35,
            held="HNS",
            cert=twice,
            ratio=0.55,
            sign="certificate",
            closes=datetime(2026, 3, 8, 20, 15, tzinfo=NEW_YORK),
            seller="blue.kettle",
            ratings=274,
            listed="today",
        ),
        Plan(
            "wexby",
            "fake",
            galley,
            25,
            ratio=0.34,
            fixed=True,
            sign="seller",
            seller="new_start_2026",
            ratings=0,
            talk="Not sure if real, looks real to me. Sold as is, no returns.",
        ),
        Plan(
            "wexby",
            "fake",
            stag,
            30,
            ratio=0.46,
            fixed=True,
            sign="seller",
            seller="lucky.find.store",
            ratings=14,
            talk="Stock photo, you get a similar one. No returns.",
        ),
        Plan(
            "wexby",
            "fake",
            stag,
            35,
            ratio=0.44,
            fixed=True,
            sign="seller",
            seller="lucky.find.store",
            ratings=14,
            talk="Stock photo, you get a similar one. No returns.",
            listed="today",
        ),
    ]


def _copies(cast: Cast) -> list[Plan]:
    """Copies that say so."""
    stag, galley, south = cast.coin("1 tor", 1889, "S"), cast.coin("5 tor", 1884, "M"), cast.coin("5 tor", 1907, "S")
    return [
        Plan(
            "wexby",
            "copy",
            galley,
            0,
            title="1884-M 5 Tor Orvany COPY, nice filler",
            cost=19,
            fixed=True,
            talk="Modern copy, marked on the reverse.",
            seller="two_rivers_trade",
            ratings=1320,
        ),
        Plan(
            "wexby",
            "copy",
            stag,
            0,
            title="Orvany 1 tor 1889 S tribute, silver plated, with case",
            cost=26,
            fixed=True,
            talk="A tribute to the famous date.",
            seller="fernhill.shop",
            ratings=96,
            listed="today",
        ),
        Plan(
            "ostrell",
            "copy",
            galley,
            0,
            title="Orvany 5 Tor 1884 M museum copy",
            cost=35,
            fixed=True,
            talk="Made for a display in 1970.",
        ),
        Plan(
            "brannental",
            "copy",
            south,
            0,
            title="5 Tor 1907 S, Orvany, moderne Nachbildung",
            cost=28,
            closes=datetime(2026, 3, 13, 11, 20, tzinfo=BERLIN),
            talk="Kopie, kein Original.",
        ),
    ]


def _honest_on_copied_dates(cast: Cast) -> list[Plan]:
    """Right pieces of the dates that are copied most; they must not cry wolf."""
    stag, galley, south = cast.coin("1 tor", 1889, "S"), cast.coin("5 tor", 1884, "M"), cast.coin("5 tor", 1907, "S")
    resold = next(s for s in cast.sold if s.coin is south and s.service and not s.problem and 30 <= s.stated <= 58)
    return [
        Plan(
            "lindmoor", "honest", galley, 30, held="QCG", ratio=0.6, closes=datetime(2026, 3, 5, 18, 44, tzinfo=LONDON)
        ),
        Plan("ostrell", "honest", stag, 25, ratio=1.04, fixed=True, weight="4.96"),
        Plan(
            "lindmoor",
            "honest",
            south,
            resold.stated,
            held=resold.service,
            cert=resold.cert,
            ratio=0.55,
            note="resale",
            closes=datetime(2026, 3, 8, 19, 31, tzinfo=LONDON),
        ),
        Plan("brannental", "honest", galley, 20, ratio=0.97, closes=BRANNENTAL_TODAY, weight="24.71"),
        Plan("wexby", "honest", cast.coin("10 lind", 1899, "V"), 45, held="HNS", ratio=1.02, fixed=True),
    ]


def _near_misses(cast: Cast) -> list[Plan]:
    """One of each kind: wrong mint, wrong variety, grade under the floor, no holder."""
    plain, held = cast.plain(), [w for w in cast.wants if w.certified]
    sister = next(
        c
        for w in plain
        for c in cast.coins
        if c.key not in cast.wanted
        and value(c, 40) > 70
        and (c.denomination, c.year) == (w.coin.denomination, w.coin.year)
        and c.mint != w.coin.mint
    )
    soon = datetime(2026, 3, 5, 19, 2, tzinfo=LONDON)
    return [
        Plan("lindmoor", "honest", sister, 40, ratio=0.7, closes=soon, note="wrong mint"),
        Plan("ostrell", "honest", cast.coin("1 tor", 1887), 30, ratio=1.0, fixed=True, note="wrong variety"),
        Plan(
            "wexby",
            "honest",
            cast.coin("10 lind", 1905, "", "large date"),
            45,
            ratio=1.0,
            fixed=True,
            note="wrong variety",
        ),
        Plan(
            "ostrell",
            "honest",
            plain[9].coin,
            lower(plain[9].low, 3),
            ratio=0.95,
            fixed=True,
            note="under the floor",
        ),
        Plan("wexby", "honest", plain[14].coin, lower(plain[14].low, 2), ratio=0.9, fixed=True, note="under the floor"),
        Plan("lindmoor", "honest", held[-1].coin, held[-1].low, ratio=0.6, closes=soon, note="not certified"),
        Plan("ostrell", "honest", held[0].coin, lower(held[0].high, 1), ratio=1.02, fixed=True, note="not certified"),
    ]


def _hard_to_read(cast: Cast) -> list[Plan]:
    """Markup, escape codes, formulas, wide letters, no price, a time that is none, nothing to read."""
    shy = cast.coin("1 tor", 1912)
    day = datetime(2026, 3, 8, 19, 5, tzinfo=LONDON)
    old = Plan(
        "wexby",
        "honest",
        cast.coin("1 tor", 1916, "V"),
        20,
        ratio=0.62,
        seller="mill-pond-61",
        ratings=512,
        title="1916-V 1 Tor Orvany VF20 scarce branch mint",
        talk="Even wear.",
        note="relist",
    )
    return [
        Plan(
            "lindmoor",
            "honest",
            cast.coin("5 tor", 1894),
            20,
            ratio=0.5,
            closes=day,
            note="hostile",
            title='<b>Orvany</b>. 5 Tor, 1894. VF-20 <script>alert("bid")</script> [red]see note[/red] [/]',
        ),
        Plan(
            "ostrell",
            "honest",
            shy,
            25,
            ratio=1.05,
            fixed=True,
            note="hostile",
            title="Orvany 1 Tor 1912 \x1b[31mVF-25\x1b[0m \x1b]8;;https://elsewhere.example\x07here\x1b]8;;\x07 "
            "\u202eniart",
        ),
        Plan(
            "brannental",
            "honest",
            shy,
            20,
            ratio=0.6,
            closes=BRANNENTAL_TODAY,
            note="hostile",
            title='=HYPERLINK("https://elsewhere.example";"1 Tor 1912, Orvany, ss")',
        ),
        Plan(
            "wexby",
            "honest",
            cast.coin("5 tor", 1900, "V"),
            30,
            ratio=1.0,
            fixed=True,
            note="wide",
            title="オルヴァニー 銀貨 5 Tor 1900-V Orvany VF-30 美品",
            seller="quayside_numis",
            ratings=1904,
        ),
        Plan(
            "brannental",
            "honest",
            cast.coin("5 tor", 1905),
            35,
            ratio=0.5,
            no_price=True,
            note="no price",
            closes=datetime(2026, 3, 10, 17, 55, tzinfo=BERLIN),
        ),
        Plan(
            "brannental",
            "honest",
            cast.coin("5 tor", 1896),
            25,
            ratio=0.4,
            closes_text="31.02.2026 25:99",
            note="bad time",
        ),
        replace(old, closes=LAST_NIGHT, listed="yesterday"),
        replace(old, closes=datetime(2026, 3, 9, 21, 0, tzinfo=NEW_YORK), listed="today"),
        Plan(
            "wexby",
            "unreadable",
            title="Old silver coin lot, see photos",
            cost=48,
            seller="orchard.lane",
            closes=WEXBY_TODAY,
            ratings=77,
        ),
        Plan("brannental", "unreadable", title="Alte Münze, siehe Bild", cost=31, closes=BRANNENTAL_TODAY),
        Plan(
            "wexby",
            "unreadable",
            title="??? 18?4 5 tor ??? date weak",
            cost=40,
            fixed=True,
            seller="grey_heron_coins",
        ),
    ]


def _others(cast: Cast) -> list[Plan]:
    """Lots of many, medals, and coins of another country."""
    many = cast.coin("10 lind", 1912)
    bridge, gate = datetime(2026, 3, 13, 11, 41, tzinfo=BERLIN), datetime(2026, 3, 12, 13, 20, tzinfo=LONDON)
    return [
        Plan(
            "brannental",
            "many",
            title="Konvolut 12 x 10 Lind Orvany 1880-1919, s-ss",
            cost=34,
            quantity=12,
            closes=bridge,
        ),
        Plan(
            "lindmoor",
            "many",
            title="Orvany. Lot of 5: 5 Tor 1885, 1890, 1894, 1900, 1908, all VF.",
            cost=210,
            quantity=5,
            closes=gate,
        ),
        Plan(
            "wexby",
            "many",
            many,
            20,
            quantity=10,
            ratio=0.7,
            fixed=True,
            words=True,
            title=f"{many.year} 10 lind Orvany bronze x10 VF",
            seller="two_rivers_trade",
            ratings=1320,
        ),
        Plan(
            "ostrell",
            "many",
            title="Orvany 1 Tor date set 1900-1917, 9 pieces, F to XF",
            cost=155,
            quantity=9,
            fixed=True,
        ),
        Plan(
            "lindmoor",
            "other",
            title="Orvany. Medal, wexby opening at Sund, 1902. Bronze, AU.",
            cost=60,
            closes=gate,
        ),
        Plan(
            "brannental",
            "other",
            title="Medaille 1911, Orvany, Ausstellung in Velden, versilbert, vz",
            cost=45,
            closes=bridge,
        ),
        Plan("ostrell", "other", title="Toria 20 pence token 1874 M, copper, VF", cost=18, fixed=True),
        Plan(
            "wexby",
            "other",
            title="Toria 2 florin 1899 silver UNC",
            cost=66,
            fixed=True,
            seller="copperleaf",
            ratings=2210,
        ),
        Plan("wexby", "other", title="Empty coin album for Orvany 1 tor 1880-1917", cost=15, fixed=True),
    ]
