"""Prices, times and ids in the shapes that sources choose for themselves."""

from __future__ import annotations

import json
from collections.abc import Mapping

import pytest

from watchlist.core.clean import html_text
from watchlist.core.lots.source import Source
from watchlist.core.money.cell import read_cell
from watchlist.feeds.elements import OWN_CAP, own_elements
from watchlist.feeds.fields import canonical
from watchlist.feeds.read import read_entries
from watchlist.words import load

SOURCE = Source("north", "https://north.example/feed")


@pytest.mark.parametrize(
    ("own", "fields"),
    [
        (
            {"lot:price": "12550", "lot:price@currency": "EUR", "lot:price@unit": "cents"},
            {"price": "125.50", "currency": "EUR"},
        ),
        ({"lot:price_cents": "9900", "lot:currency": "EUR"}, {"price": "99.00", "currency": "EUR"}),
        ({"_lot/priceInCents": "4550"}, {"price": "45.50"}),
        ({"_lot/price/amount": "45.00", "_lot/price/currency": "GBP"}, {"price": "45.00", "currency": "GBP"}),
        ({"_a/current_bid/value": "2250", "_a/current_bid/unit": "cent"}, {"current_bid": "22.50"}),
        ({"c:prezzo": "75,00", "c:prezzo@valuta": "GBP"}, {"price": "75,00", "currency": "GBP"}),
        (
            {"v:auction@end": "2026-03-12T18:30:00Z", "v:auction@price": "42.50", "v:auction@currency": "GBP"},
            {"ends_at": "2026-03-12T18:30:00Z", "price": "42.50", "currency": "GBP"},
        ),
        ({"lot:auction/lot:end": "2026-03-21T10:00:00Z", "lot:ends": "1773345600"}, {"ends_at": "1773345600"}),
        ({"_north/estimate/low": "400", "_north/estimate/high": "600"}, {"estimate": "400", "estimate_high": "600"}),
        ({"_north/amount": "40", "_north/closes": "2026-03-12"}, {"price": "40", "ends_at": "2026-03-12"}),
        ({"seller/name": "anna", "seller/feedback": "3"}, {"seller": "anna", "feedback": "3"}),
        ({"v:timezone": "Europe/London"}, {"time_zone": "Europe/London"}),
        ({"g:shipping/g:price": "5.00 USD"}, {"shipping": "5.00 USD"}),
        ({"x:percents": "20", "x:percent": "5"}, {}),
    ],
)
def test_shapes_of_an_amount(own: Mapping[str, str], fields: Mapping[str, str]) -> None:
    assert canonical(own) == fields


@pytest.mark.parametrize(
    ("field", "names"),
    [
        ("ends_at", ["ends", "end", "Scadenza", "cloture", "cierre", "sluit", "Auktionsende", "closesAt"]),
        ("weight", ["poids", "peso", "gewicht"]),
        ("start_price", ["miseAPrix", "salida", "prezzoBase", "inzet", "mindestgebot"]),
        ("hammer", ["adjuge", "remate", "aggiudicato", "hamerprijs", "zuschlag"]),
    ],
)
def test_names_in_six_languages(field: str, names: list[str]) -> None:
    for name in names:
        assert canonical({f"c:{name}": "12"}) == {field: "12"}, name


def test_what_is_no_object_is_told_and_shifts_no_entry() -> None:
    body = json.dumps({"items": [{"id": "1", "title": "5 tor 1893"}, "nonsense", 7, {"id": "4"}]}).encode()
    read = read_entries(SOURCE, body)
    assert [entry.id for entry in read.entries] == ["1"]
    assert [trouble.place for trouble in read.troubles] == ["entry 2", "entry 3", "entry 4"]


def test_a_plain_list_may_call_its_title_name() -> None:
    body = json.dumps([{"sku": "A1", "name": "5 tor 1893", "offers": [{"price": "40", "priceCurrency": "EUR"}]}])
    (entry,) = read_entries(SOURCE, body.encode()).entries
    assert (entry.id, entry.title, dict(entry.fields)) == ("A1", "5 tor 1893", {"price": "40", "currency": "EUR"})


def test_entries_without_id_title_and_link_are_not_one_entry() -> None:
    rss = (
        "<rss version='2.0'><channel>"
        + "".join(f"<item><description>Orvany 5 tor 189{n}</description></item>" for n in (1, 2))
        + "</channel></rss>"
    )
    csv = "Beschreibung;Preis\nOrvany 5 tor 1891;40\nOrvany 5 tor 1892;50\n"
    feed = json.dumps({"items": [{"content_text": "Orvany 5 tor 1891"}, {"content_text": "Orvany 5 tor 1892"}]})
    for body in (rss, csv, feed):
        read = read_entries(SOURCE, body.encode())
        assert len(set(read.present)) == 2, body
        assert not read.troubles, body


def test_a_grade_beside_a_description_is_no_title() -> None:
    read = read_entries(SOURCE, b"Los;Beschreibung;Erh.;Ausruf\n1;Orvany 5 tor 1893-V;vz;40\n")
    assert read.entries[0].title == "Orvany 5 tor 1893-V"
    assert read.entries[0].fields["grade"] == "vz"


def test_a_column_in_cents() -> None:
    read = read_entries(SOURCE, b"id,title,price_cents,weight (g)\n1,5 tor 1893,4550,27.2\n")
    assert read.entries[0].fields["price"] == "45.50"
    assert read.entries[0].fields["weight"] == "27.2"


def test_a_price_crossed_out_is_not_the_price() -> None:
    assert html_text("<p>Preis: <s>60,00 €</s> 45,00 €</p><strong>neu</strong>") == "Preis: 45,00 €\nneu"
    assert html_text("<s>60,00 € <span>45,00 €</span>") == "60,00 € 45,00 €"


def test_a_table_of_one_row_under_headings_becomes_labels() -> None:
    table = "<table><tr><th>Prijs</th><th>Sluit</th></tr><tr><td>€ 22,50</td><td>15-03-2026</td></tr></table>"
    assert html_text(table) == "Prijs: € 22,50\nSluit: 15-03-2026"
    bids = "<table><tr><th>Bid</th><th>By</th></tr><tr><td>5</td><td>a</td></tr><tr><td>6</td><td></td></tr></table>"
    assert html_text(bids) == "Bid | By\n5 | a\n6"
    assert html_text("<table><tr><th>Price</th><td>12</td></tr><tr><th>Ends</th><td>now</td></tr></table>") == (
        "Price: 12\nEnds: now"
    )


LOT = {"id": "a", "title": "5 tor 1893 V", "price": 45}


@pytest.mark.parametrize(
    ("lot", "fields"),
    [
        ({"price_eur": 45.5}, {"price": "45.5", "currency": "EUR"}),
        (
            {"closes": {"date": "2026-11-28", "time": "18:00", "timezone": "Europe/Berlin"}},
            {"ends_at": "2026-11-28", "ends_time": "18:00", "time_zone": "Europe/Berlin"},
        ),
        ({"endsAt": {"$date": "2026-11-28T17:00:00Z"}}, {"ends_at": "2026-11-28T17:00:00Z"}),
        ({"auction": {"endDate": "2026-11-28", "endTime": "18:00"}}, {"ends_at": "2026-11-28", "ends_time": "18:00"}),
        ({"title_all": "x"}, {}),  # ALL is a currency, a title is no amount
    ],
)
def test_shapes_of_plain_objects(lot: Mapping[str, object], fields: Mapping[str, str]) -> None:
    body = json.dumps([{"id": "a", "title": "5 tor 1893 V", **lot}]).encode()
    (entry,) = read_entries(SOURCE, body).entries
    assert entry.fields == fields


@pytest.mark.parametrize(
    "document",
    [
        [LOT],
        {"items": [LOT]},
        {"lots": [LOT], "total": 1},
        {"data": {"lots": [LOT]}},
        {"angebote": [LOT]},
        {"meta": {"tags": ["x"]}, "response": {"listings": [LOT]}},
    ],
)
def test_where_a_document_keeps_its_lots(document: object) -> None:
    assert [entry.id for entry in read_entries(SOURCE, json.dumps(document).encode()).entries] == ["a"]


@pytest.mark.parametrize("document", [{"a": [LOT], "b": [LOT]}, {"tags": ["x"]}, {"a": 1}, 5])
def test_a_document_without_one_list_of_lots_is_told(document: object) -> None:
    assert read_entries(SOURCE, json.dumps(document).encode()).failed


def rss_item(inner: str) -> dict[str, str]:
    body = (
        f'<rss version="2.0" xmlns:l="http://l.example/"><channel><title>t</title><item><guid>A</guid>'
        f"<title>5 tor 1893 VF</title>{inner}</item></channel></rss>"
    )
    (entry,) = read_entries(SOURCE, body.encode()).entries
    return dict(entry.fields)


@pytest.mark.parametrize(
    ("inner", "price"),
    [
        ('<l:price currency="USD">138.00</l:price><l:price currency="USD">45.00</l:price>', "138.00 USD | 45.00 USD"),
        ('<l:price currency="USD">45</l:price><l:price currency="EUR">138</l:price>', "45 USD | 138 EUR"),
        ('<l:price currency="USD">45</l:price><l:price currency="EUR">45</l:price>', "45 USD | 45 EUR"),
        ("<l:preis>45</l:preis><l:preis>60</l:preis><l:preis>75</l:preis>", "45 | 60 | 75"),
        ("<l:prix>45 EUR</l:prix><l:prix>60 EUR</l:prix>", "45 EUR | 60 EUR"),
        (
            "<l:price><l:amount>45</l:amount><l:currency>GBP</l:currency></l:price>"
            "<l:price><l:amount>60</l:amount><l:currency>GBP</l:currency></l:price>",
            "45 GBP | 60 GBP",
        ),
        ('<l:price value="45" currency="EUR"/><l:price value="60" currency="EUR"/>', "45 EUR | 60 EUR"),
        ("<l:offer><l:price>45</l:price></l:offer><l:offer><l:price>60</l:price></l:offer>", "45 | 60"),
        ("<l:price>45</l:price><l:offer><l:price>60</l:price></l:offer>", "45 | 60"),
    ],
)
def test_two_prices_of_one_item_are_both_told(inner: str, price: str) -> None:
    """No word tells the right one: what comes out of the cell is read as no single price."""
    assert rss_item(inner)["price"] == price
    assert read_cell(price, load("money"), column="USD").amount is None


@pytest.mark.parametrize(
    ("inner", "field"),
    [
        ("<l:currentBid>45</l:currentBid><l:currentBid>60</l:currentBid>", "current_bid"),
        ("<l:hammer>45</l:hammer><l:hammer>60</l:hammer>", "hammer"),
        ("<l:startpreis>45</l:startpreis><l:startpreis>60</l:startpreis>", "start_price"),
    ],
)
def test_two_amounts_of_any_kind_are_both_told(inner: str, field: str) -> None:
    assert rss_item(inner)[field] == "45 | 60"


@pytest.mark.parametrize(
    ("inner", "price", "currency"),
    [
        ('<l:price currency="USD">45.00</l:price><l:price currency="USD">45</l:price>', "45.00", "USD"),
        ("<l:price>45</l:price><l:offer><l:price>45,00</l:price></l:offer>", "45", ""),
        ("<l:price>45</l:price><l:startPrice>30</l:startPrice><l:currency>GBP</l:currency>", "45", "GBP"),
        (
            '<l:price currency="EUR">45</l:price><l:shipping><l:price currency="EUR">5</l:price></l:shipping>',
            "45",
            "EUR",
        ),
        ("<l:salePrice>45</l:salePrice><l:listPrice>60</l:listPrice>", "45", ""),
        ("<l:price>45</l:price><l:tag>a</l:tag><l:tag>b</l:tag>", "45", ""),
    ],
)
def test_one_price_said_twice_or_beside_others_is_one(inner: str, price: str, currency: str) -> None:
    fields = rss_item(inner)
    assert (fields["price"], fields.get("currency", "")) == (price, currency)


def test_no_more_elements_of_an_item_are_kept_than_a_lot_has() -> None:
    many = "".join(f'<n:e{n} a="{n}" empty="">{n}</n:e{n}>' for n in range(80))
    (kept,) = own_elements(f'<rss xmlns:n="urn:n"><channel><item>{many}</item></channel></rss>'.encode())[0]
    assert len(kept) == OWN_CAP
    assert (kept["n:e0@a"], kept["n:e0"]) == ("0", "0")
    assert not any("empty" in name for name in kept)


def test_the_last_attribute_of_a_full_item_is_left_out() -> None:
    many = " ".join(f'a{n}="{n}"' for n in range(OWN_CAP + 5))
    item = f"<item><n:e {many}>x</n:e></item>"
    (kept,) = own_elements(f'<rss xmlns:n="urn:n"><channel>{item}</channel></rss>'.encode())[0]
    assert list(kept) == [f"n:e@a{n}" for n in range(OWN_CAP)]


def test_a_closing_time_that_is_no_interval_stays_as_it_is() -> None:
    for text in ("2026-11-28T18:00Z", "28/11/2026", ""):
        assert canonical({"dcterms:valid": text}).get("ends_at", "") == text


def test_a_column_of_the_persons_own_map_that_an_item_lacks_changes_nothing() -> None:
    own = {"price": "45.00", "asking": ""}
    assert canonical(own, {"price": "asking", "grade": "state"}) == {"price": "45.00"}
