"""How a piece is struck, and what is left of its date."""

from __future__ import annotations

from tests.core.reading.scanned import scan
from watchlist.core.reading.asjson import from_json, to_json
from watchlist.core.reading.fields.strikes import find_states
from watchlist.core.reading.record import Reading

TOLD = {
    "weak strike": ("weak", None),
    "weakly struck at the centre": ("weak", None),
    "not fully struck": ("weak", None),
    "needle sharp strike": ("sharp", None),
    "sharp details": ("sharp", None),
    "XF details, light scratches": (None, None),
    "fully struck": ("full details", None),
    "flat strike on the breast": ("flat", None),
    "sharp strike, struck a little flat in the centre": ("flat", None),
    "full readable date": (None, "readable"),
    "partial date": (None, "partial"),
    "date barely readable": (None, "partial"),
    "dateless": (None, "gone"),
    "date not readable": (None, "gone"),
    "key date, AU": (None, None),
    "schwach ausgeprägt, Jahreszahl nicht mehr lesbar": ("weak", "gone"),
    "frappe vigoureuse, date bien lisible": ("sharp", "readable"),
    "acuñación floja. Fecha ilegible": ("weak", "gone"),
    "conio stanco. Data parzialmente leggibile": ("weak", "partial"),
    "scherp geslagen. Jaartal onleesbaar": ("sharp", "gone"),
}


def test_strike_and_date() -> None:
    assert {text: find_states(scan(text)) for text in TOLD} == TOLD


def test_both_are_told_in_json_and_read_back() -> None:
    reading = Reading("tor", strike="weak", date_state="gone")
    row = to_json(reading)
    assert (row["strike"], row["date_state"]) == ("weak", "gone")
    assert from_json(row) == reading
