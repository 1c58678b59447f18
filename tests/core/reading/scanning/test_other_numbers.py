"""Numbers that are no year, value or grade: what is taken, and what is left to the fields."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import free_words, scan
from watchlist.core.reading.scanning.certificates import certificate
from watchlist.core.reading.scanning.noise import claim_noise, lot_number


@pytest.mark.parametrize(
    ("title", "number", "taken"),
    [
        ("tor 40% off", "40", True),
        ("tor 40 % off", "40", False),
        ("tor .900 silver", "900", True),
        ("tor 26.7 g", "26.7", True),
        ("tor 15 G", "15", False),
        ("tor 1832 KG", "1832", False),
        ("tor 1891 gr. Zahl", "1891", False),
        ("tor weight 27", "27", True),
        ("tor pop 45/8", "45", True),
        ("tor page 1890", "1890", True),
        ("tor pop 1890", "1890", False),
        ("tor 3/0 finer", "3", True),
        ("tor 4/5 3/5", "4", True),
        ("tor 4/6 3/6", "4", False),
        ("tor Dav 123", "123", True),
        ("tor Dav 1889", "1889", False),
        ("tor J. 45", "45", True),
        ("tor J 45", "45", False),
        ("tor ABCD-123", "123", True),
        ("tor ABC-123", "123", False),
        ("tor R2", "2", True),
        ("tor R11", "11", False),
    ],
)
def test_numbers_of_something_else(title: str, number: str, taken: bool) -> None:
    scanned = scan(title)
    claim_noise(scanned)
    assert (number not in free_words(scanned)) == taken


@pytest.mark.parametrize(
    ("title", "taken"),
    [
        ("Lot 412: tor", True),
        ("Lot 412 tor", True),
        ("Lot 12 tor", False),
        ("Lot 12: tor", True),
        ("Lot 12 pcs", False),
        ("Lot 1889 tor", False),
        ("Lot 1889 tor 1893", True),
        ("No. 1889 tor 1893", True),
        ("N° 1889 tor 1893", True),
        ("Lote 1889 tor 1893", True),
        ("Lot 1889 tor, 1893", False),
        ("Lot 1889 and 1893 tor", False),
        ("Lot 1889 tor 1893 tor 1894", False),
        ("Los-Nr. 45 tor", True),
        ("Lot 123456 tor", False),
    ],
)
def test_the_number_of_the_lot(title: str, taken: bool) -> None:
    scanned = scan(title)
    lot_number(scanned)
    assert (free_words(scanned)[0] == "tor" or free_words(scanned)[0] == ":") == taken


@pytest.mark.parametrize(
    ("title", "held", "number"),
    [
        ("tor cert 44719", False, "44719"),
        ("tor cert 4471", False, None),
        ("tor cert no. 44.719.13H", False, "44.719.13H"),
        ("tor #447190", False, "447190"),
        ("tor 4471902", True, "4471902"),
        ("tor 4471902", False, None),
        ("tor 447190", True, None),
        ("tor $4471902", True, None),
        ("tor cert. Q418-2907.", False, "Q418-2907"),
        ("tor Zert.-Nr.: 88.120.44H", False, "88.120.44H"),
        ("tor QCG: cleaned. Q420-7781", True, "Q420-7781"),
        ("tor Q420-7781", False, None),
        ("tor #Q880-2216", False, "Q880-2216"),
        ("tor 1942/1-D", True, None),
        ("tor MS63-64", True, None),
        ("sale of 12.05.2026", True, None),
        ("5.00 g", True, None),
    ],
)
def test_the_number_of_a_certificate(title: str, held: bool, number: str | None) -> None:
    assert certificate(scan(title), held) == number
