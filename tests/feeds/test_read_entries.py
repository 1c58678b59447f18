"""Bytes to entries: every kind of feed, what is odd in them, and what is hostile."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.feeds.samples import ATOM, ATOM03, CSV, JSON, RSS091, RSS1, RSS2, item_of, rss_of
from tests.growth import IN_STEP, growth
from watchlist.core.lots.source import Source
from watchlist.feeds import rescue
from watchlist.feeds import scan as scanning
from watchlist.feeds.read import Read, read_entries
from watchlist.feeds.scan import scan
from watchlist.page.troubles import trouble_line

SOURCE = Source("Lindmoor", "https://lindmoor.example/feed")


def read(body: bytes | str, source: Source = SOURCE, **more: object) -> Read:
    return read_entries(source, body.encode() if isinstance(body, str) else body, **more)  # type: ignore[arg-type]


def told(found: Read) -> str:
    return "\n".join(map(trouble_line, found.troubles))


# Each kind.


def test_rss_2() -> None:
    found = read(RSS2)
    one, two = found.entries
    assert (found.kind, found.total, found.troubles, found.partial) == ("rss", 2, (), False)
    assert (one.id, one.place, one.title) == ("LM-1", "entry 1", "Orvany 5 tor 1890-V VF")
    assert one.description == "Price: 120 EUR\nWeight 25.8 g"
    assert one.link == "https://lindmoor.example/lot/1"
    assert one.fields == {
        "category": "Silver",
        "image": "https://lindmoor.example/1.jpg",
        "price": "12.50",
        "currency": "GBP",
        "ends_at": "2026-03-14T20:00:00+01:00",
    }
    assert one.extra["lot:price"] == "12.50"
    assert one.extra["lot:price@currency"] == "GBP"
    assert one.extra["published"] == "Mon, 02 Mar 2026 10:00:00 GMT"
    assert (two.id, two.title) == ("https://lindmoor.example/lot/2", "Orvany 10 lind 1884 bronze & toned")
    assert two.description == "Price: 8 EUR"
    assert two.fields == {"price": "129.00 USD", "shipping": "5.00 USD"}


def test_rss_1() -> None:
    found = read(RSS1)
    (one,) = found.entries
    assert (found.kind, one.id) == ("rss", "https://lindmoor.example/lot/1")
    assert one.fields == {"seller": "Brannental", "ends_at": "2026-03-14T19:00:00Z"}


def test_rss_091_with_its_document_type() -> None:
    (one,) = read(RSS091).entries
    assert (one.title, one.description, len(one.id)) == ("Orvany 5 tor 1890-V VF", "Price: 120 EUR", 16)


def test_atom() -> None:
    found = read(ATOM)
    one, two = found.entries
    assert (found.kind, one.id, one.title, one.link) == (
        "atom",
        "urn:lot:1",
        "Orvany 5 tor 1890-V VF",
        "https://lindmoor.example/lot/1",
    )
    assert one.description == "Price: 120 EUR\nWeight 25.8 g"
    assert one.fields == {
        "category": "Silver",
        "seller": "Brannental",
        "image": "https://lindmoor.example/1.jpg",
        "current_bid": "95",
        "currency": "EUR",
    }
    assert (two.title, two.description) == ("20<30 tor & more", "Price: 8 EUR\nCloses: soon")


def test_atom_03() -> None:
    (one,) = read(ATOM03).entries
    assert (one.id, one.link, one.description) == ("urn:lot:1", "https://lindmoor.example/lot/1", "Price: 120 EUR\nx")


def test_json_feed() -> None:
    found = read(JSON)
    one, two = found.entries
    assert (found.kind, one.id, one.description) == ("json", "LM-1", "Price: 120 EUR")
    assert one.fields == {
        "seller": "Brannental",
        "category": "Silver",
        "price": "12.50",
        "currency": "GBP",
        "ends_at": "2026-03-14T20:00:00+01:00",
    }
    assert (two.id, two.description) == ("2", "Price: 8 EUR\nWeight 5 g")  # 1.1: an id that is no string is made one


def test_csv() -> None:
    found = read(CSV)
    one, two = found.entries
    assert (found.kind, one.id, one.place, one.link) == ("csv", "LM-1", "line 2", "https://lindmoor.example/lot/1")
    assert {name: one.fields[name] for name in ("price", "currency", "ends_at")} == {
        "price": "12,50",
        "currency": "GBP",
        "ends_at": "14.03.2026 20:00",
    }
    assert two.title == "Orvany 10 lind 1884; bronze"
    assert found.columns["ends_at"] == "Auktionsende"


def test_the_content_decides_not_its_type() -> None:
    assert read(RSS2, content_type="text/html").kind == "rss"
    assert read(CSV, content_type="application/rss+xml").kind == "csv"
    assert read(JSON, content_type="text/xml").kind == "json"


def test_a_person_maps_an_element_of_their_own() -> None:
    source = Source("N", "https://lindmoor.example/", columns={"ends_at": "x:gone"})
    body = rss_of(item_of(1, "<x:gone>14 Mar 2026</x:gone>"), ' xmlns:x="urn:x"')
    assert read(body, source).entries[0].fields == {"ends_at": "14 Mar 2026"}


# Again: only what is new is read.


@pytest.mark.parametrize("body", [RSS2, ATOM, JSON, CSV])
def test_a_second_reading_gives_nothing_new(body: str) -> None:
    first = read(body)
    again = read(body, seen=set(first.unseen))
    assert (again.entries, again.total, again.present) == ((), 2, first.present)


def test_a_changed_lot_comes_again_under_its_id() -> None:
    first = read(rss_of(item_of(1) + item_of(2)))
    again = read(rss_of(item_of(1) + item_of(2).replace("2 EUR", "3 EUR")), seen=set(first.unseen))
    (one,) = again.entries
    assert (one.id, one.description) == ("LM-2", "Price: 3 EUR")


# Ids.


def test_one_id_twice() -> None:
    other = item_of(1).replace("1 EUR", "9 EUR")
    found = read(rss_of(item_of(1) + item_of(1) + other + other))
    assert [entry.id for entry in found.entries] == ["LM-1", "LM-1~2"]
    assert "Lindmoor, entry 2: repeats entry 1 and counts once" in told(found)
    assert "Lindmoor, entry 3: has the id of entry 1 and other content; it is kept as LM-1~2" in told(found)
    assert len(set(found.present)) == len(found.present) == found.total == 2


def test_without_an_id_title_and_link_make_one() -> None:
    one = "<item><title>5 tor</title><link>https://a.example/1</link><description>{}</description></item>"
    first, second = read(rss_of(one.format("a"))), read(rss_of(one.format("b")))
    assert first.entries[0].id == second.entries[0].id
    assert read(rss_of(one.format("a").replace("/1", "/2"))).entries[0].id != first.entries[0].id


def test_lots_of_one_id_take_time_in_step_with_their_number() -> None:
    def read_many(count: int) -> None:
        text = "[" + ",".join(f'{{"id": "1", "title": "{n}"}}' for n in range(count)) + "]"
        assert len(set(read_entries(SOURCE, text.encode(), seconds=0).present)) == count

    assert growth(read_many, 5_000) < IN_STEP


# Links.


@pytest.mark.parametrize(
    ("link", "wanted"),
    [
        ("javascript:alert(1)", ""),
        ("data:text/html,x", ""),
        ("file:///etc/passwd", ""),
        ("ftp://a.example/", ""),
        ("/lot/7", "https://lindmoor.example/lot/7"),
        ("HTTPS://a.example/x", "HTTPS://a.example/x"),
        ("//a.example/x", "https://a.example/x"),
        ("https://[::1", ""),
        (" https://a.example/ ", "https://a.example/"),
    ],
)
def test_only_web_links_stay(link: str, wanted: str) -> None:
    assert read(rss_of(f"<item><title>t</title><link>{link}</link></item>")).entries[0].link == wanted
    assert read(json.dumps([{"title": "t", "url": link}])).entries[0].link == wanted


# Encodings.

UMLAUT = (
    '<?xml version="1.0" encoding="{}"?><rss version="2.0"><channel>'
    "<item><title>5 tor Prägung 120 €</title></item></channel></rss>"
)


@pytest.mark.parametrize(
    ("codec", "declared"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8"),
        ("utf-16", "utf-16"),
        ("utf-16-le", "utf-16"),
        ("utf-16-be", "utf-8"),
        ("cp1252", "windows-1252"),
        ("cp1252", "utf-8"),
        ("cp1252", "iso-8859-1"),
        ("utf-8", "iso-8859-1"),
        ("iso-8859-15", "iso-8859-15"),
        ("cp1252", "unheard-of"),
        ("cp1252", "punycode"),
    ],
)
def test_any_encoding_is_read(codec: str, declared: str) -> None:
    assert read(UMLAUT.format(declared).encode(codec)).entries[0].title == "5 tor Prägung 120 €"


def test_the_servers_word_and_the_persons_setting() -> None:
    body = "<rss><channel><item><title>5 тор</title></item></channel></rss>".encode("cp1251")
    assert read(body, content_type="text/xml; charset=windows-1251").entries[0].title == "5 тор"
    assert read(body, Source("N", "x.xml", encoding="cp1251")).entries[0].title == "5 тор"


def test_space_and_words_before_the_declaration_do_no_harm() -> None:
    assert read("\n\n  " + RSS2).total == 2
    assert read("Warning: something in line 3\n" + RSS2).total == 2


# Not a feed.


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("<!DOCTYPE html><html><body>Log in</body></html>", "a web page, not a feed"),
        ("<!-- x --><HTML><p>Log in", "a web page, not a feed"),
        ("", "sent nothing"),
        (" \r\n", "sent nothing"),
        ("<lots><lot>1</lot></lots>", "neither RSS nor Atom"),
        ("<rss", "neither RSS nor Atom"),
        ('{"error": "no"}', "without a list"),
        ("{", "without a list"),
        ("[" * 100_000, "JSON"),
        ("Service is down for maintenance", "no column for the title"),
        (bytes(range(256)) * 20, "no column"),
    ],
)
def test_what_is_no_feed_is_a_failure_in_words(body: bytes | str, words: str) -> None:
    found = read(body)
    assert found.failed
    assert not found.entries
    assert words in told(found)
    assert "stored lots are unchanged" in told(found)


@pytest.mark.parametrize(
    "body", [rss_of(""), '{"version": "https://jsonfeed.org/version/1.1", "items": []}', "id;title\n"]
)
def test_a_feed_without_entries_is_read_and_said(body: bytes | str) -> None:
    found = read(body)
    assert not found.failed
    assert "holds no entries" in told(found) or "no rows" in told(found)


# Damaged: keep what can be read.


@pytest.mark.parametrize("body", [RSS2, ATOM, JSON])
def test_wherever_it_breaks_off_the_whole_lots_stay(body: str) -> None:
    whole = read(body)
    for cut in range(1, len(body) - 1, 97):
        found = read(body[:cut])
        ids = [entry.id for entry in found.entries]
        assert ids == [entry.id for entry in whole.entries][: len(ids)]
        assert found.partial or found.failed
        assert [entry.title for entry in found.entries] == [entry.title for entry in whole.entries][: len(ids)]


def test_broken_off_it_says_partial() -> None:
    body = rss_of("".join(map(item_of, range(10))))
    found = read(body[: len(body) // 2])
    assert (found.total, found.partial) == (4, True)
    assert "partial" in told(found)


@pytest.mark.parametrize(
    ("damage", "title"),
    [
        ("A & B", "A & B"),
        ("120 &euro; &nbsp;VF", "120 € VF"),
        ("a\x0bb\x00c", "abc"),
        ("x&#0;&#8;y", "xy"),
        ("5 < 6", "5 < 6"),
        ("&unheard;", "&unheard;"),
    ],
)
def test_one_damaged_lot_costs_no_other(damage: str, title: str) -> None:
    bad = f"<item><title>{damage}</title><guid>bad</guid><link>https://a.example/?a=1&b=2</link></item>"
    found = read(rss_of(item_of(1) + bad + item_of(2)))
    assert [entry.id for entry in found.entries] == ["LM-1", "bad", "LM-2"]
    assert found.entries[1].title == title
    assert found.entries[1].link == "https://a.example/?a=1&b=2"
    assert not found.partial


def test_a_hundred_lots_with_bare_ampersands_are_all_read() -> None:
    found = read(rss_of("".join(map(item_of, range(100))).replace("tor", "tor & more")))
    assert (found.total, found.partial) == (100, False)
    assert found.entries[99].title == "Orvany 5 tor & more 1899"


def test_tags_out_of_order_are_read_by_the_forgiving_parser() -> None:
    bad = "<item><title>5 tor 1890</title><description><b>Price: <i>120 EUR</b></description></item>"
    found = read(rss_of(item_of(1) + bad + item_of(2)))
    assert [entry.title for entry in found.entries][1] == "5 tor 1890"
    assert len(found.entries) == 3


def test_a_prefix_nobody_declared_is_read_all_the_same() -> None:
    found = read(rss_of(item_of(1, '<lot:price currency="EUR">12.50</lot:price>')))
    assert found.entries[0].fields == {"price": "12.50", "currency": "EUR"}


def test_a_head_that_is_damaged_costs_no_lot() -> None:
    found = read(
        "<rss version='2.0'><channel><title>Fish & Coins</title>" + item_of(1) + item_of(2) + "</channel></rss>"
    )
    assert [entry.id for entry in found.entries] == ["LM-1", "LM-2"]


def test_an_entry_without_words_is_set_aside() -> None:
    found = read(rss_of(item_of(1) + "<item><guid>x</guid></item><item/>"))
    assert len(found.entries) == 1
    assert "Lindmoor, entry 2: has neither title nor description and was rejected" in told(found)


def test_many_troubles_are_counted_not_listed() -> None:
    found = read(rss_of("".join(f"<item><guid>{n}</guid></item>" for n in range(500))))
    assert len(found.troubles) == 21
    assert "480 more" in told(found)


# Hostile: every row ends within two seconds (`read` sees to that) and the good lots stay.

ENTITIES = """<!DOCTYPE rss [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;">]>"""
OUTSIDE = """<!DOCTYPE rss [<!ENTITY x SYSTEM "file:///etc/passwd">]>"""
DEFAULTS = """<!DOCTYPE rss [<!ATTLIST item a CDATA "xxxxxxxxxxxxxxxxxxxxxxxxx">]>"""


@pytest.mark.parametrize("kind", [ENTITIES, OUTSIDE, DEFAULTS])
def test_declared_entities_are_refused(kind: str) -> None:
    found = read(kind.encode() + rss_of("<item><title>&c;&x;</title></item>"))
    assert found.failed
    assert "declares entities" in told(found)


def bad_items() -> dict[str, str]:
    return {
        "100,000 attributes": "<item><x " + " ".join(f'a{n}="1"' for n in range(100_000)) + "/><title>t</title></item>",
        "100,000 levels": "<item><title>t</title>" + "<a>" * 100_000 + "</a>" * 100_000 + "</item>",
        "a title of 10 MB": "<item><title>" + "5 tor " * 1_700_000 + "</title></item>",
        "a title of 1 MB": "<item><title>" + "5 tor " * 170_000 + "</title></item>",
        "200,000 elements": "<item><title>t</title>" + "<a/>" * 200_000 + "</item>",
        "a long namespace": f'<item xmlns:n="{"n" * 100_000}"><title>t</title>' + "<n:a/>" * 1000 + "</item>",
        "a long name": "<item><title>t</title><" + "a" * 1_000_000 + "/></item>",
        "16,000 comments": "<item><title>t</title><description>"
        + "&lt;!--" * 16_000
        + "Price: 120 EUR</description></item>",
        "unclosed tags": "<item><title>t</title><description>" + "&lt;a " * 100_000 + "</description></item>",
        "unclosed CDATA": "<item><title>t</title><description><![CDATA[" + "<item>" * 100_000 + "</item>",
        "items in items": "<item><title>t</title>" * 90 + "</item>" * 90,
        "bare ampersands": "<item><title>" + "&" * 500_000 + "</title></item>",
        "unclosed attributes": "<item><title>t</title>" + "<a b='" * 50_000 + "</item>",
    }


@pytest.mark.parametrize("name", bad_items())
@pytest.mark.parametrize("where", ["before", "after"])
def test_a_hostile_entry_costs_no_other(name: str, where: str) -> None:
    bad, good = bad_items()[name], "".join(map(item_of, range(3)))
    found = read(rss_of(bad + good if where == "before" else good + bad))
    assert {f"LM-{n}" for n in range(3)} <= {entry.id for entry in found.entries}
    assert all(len(entry.title) <= 500 and len(entry.description) <= 20_000 for entry in found.entries)


def test_comments_that_never_close_keep_the_words() -> None:
    bad = bad_items()["16,000 comments"]
    assert read(rss_of(bad)).entries[0].description.endswith("Price: 120 EUR")


@pytest.mark.parametrize(
    ("head", "piece", "times"),
    [
        (b"<rss><channel>", b"<a/>", 50_000),
        (b"", b"<rss>", 50_000),
        (b"<rss ", b"a='1' ", 25_000),
        (b"<rss><channel>", b"<item>", 50_000),
        (b"<rss><channel>", b"<item><title>&</title></item>", 700),
        (b"<rss>", b"<!--", 50_000),
        (b"", b"<?xml", 50_000),
        (b"", b'["', 25_000),
        (b"", b'{"items":', 10_000),
        (b"<rss><channel>", b"</item>", 50_000),
        (b"", b"&", 250_000),
        (b"<!DOCTYPE rss ", b"[", 50_000),
        (b"<rss><channel>", b"<item><title>" + b"& " * 8_000 + b"</i></item>", 5),
    ],
    ids=range(13),
)
def test_a_hostile_body_takes_time_in_step_with_its_length(head: bytes, piece: bytes, times: int) -> None:
    assert growth(lambda n: read(head + piece * n, seconds=0.5), times) < IN_STEP


def test_a_body_of_a_million_rows_is_cut() -> None:
    found = read_entries(SOURCE, b"id;title\n" + b"1;2\n" * 1_000_000, seconds=0.1)
    assert "only the first 100,000 lines" in told(found)
    assert found.partial


def test_titles_carry_no_escape_or_direction_marks() -> None:
    one = read("<rss><channel><item><title>5 \u202etor\u200b\ufeff\x85</title></item></channel></rss>").entries[0]
    assert one.title == "5 tor"
    assert read(json.dumps([{"title": "\x1b[31m5 tor\x07", "id": "\x1b[2Ja"}])).entries[0].title == "5 tor"


def test_time_up_leaves_the_rest_for_next_time() -> None:
    """What was read counts, all of it: with one entry a gather a slow body would never come to its end."""
    body, seen = rss_of("".join(map(item_of, range(1_200)))), set[str]()
    for read_now, left in ((500, 700), (500, 200), (200, 0)):
        found = read(body, seconds=0.0, seen=seen)
        assert (len(found.entries), len(found.left)) == (read_now, left)
        assert found.total == len(found.present) == 1_200
        assert ("left for the next gather" in told(found)) == bool(left)
        seen |= set(found.unseen)


def test_of_entries_that_stand_alone_no_more_are_read_than_there_is_time_for() -> None:
    long = f"<description>{'old collection ' * 15_000}</description></item>"
    found = read(rss_of(item_of(1).replace("</item>", long) + item_of(2)), seconds=0.0)
    assert (len(found.entries), len(found.left)) == (1, 1)


@pytest.mark.parametrize("name", ["author", "dc:creator", "dc:publisher", "webMaster", "contributor"])
def test_a_name_without_end_takes_time_in_step_with_its_length(name: str) -> None:
    """The library looks for an address in every name, by a pattern that takes the square of its length."""
    space = "xmlns:dc='http://purl.org/dc/elements/1.1/'"

    def entry(length: int) -> str:
        return f"<item {space}><title>5 tor</title><{name}>{'a' * length}</{name}></item>"

    assert growth(lambda n: read(rss_of(entry(n))), 10_000) < IN_STEP
    assert read(rss_of(entry(10_000) + item_of(1))).entries[0].title == "5 tor"


# Any bytes.

PIECES = [
    b"<rss>",
    b"<channel>",
    b"<item>",
    b"</item>",
    b"<title>",
    b"</title>",
    b"<entry>",
    b"</entry>",
    b"<feed>",
    b"&amp;",
    b"&",
    b"<",
    b"<![CDATA[",
    b"]]>",
    b"<!--",
    b"-->",
    b"5 tor",
    b"\xff",
    b"\x00",
    b"\xef\xbb\xbf",
    b"<!DOCTYPE x [",
    b"<?xml?>",
    b'{"items":[',
    b'{"id":1,"title":"x"}',
    b",",
    b"]",
    b"}",
    b"id;title\n",
    b"1;2\n",
    b'"',
    b"</channel></rss>",
    b"<lot:price>",
    b"</lot:price>",
]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.one_of(st.sampled_from(PIECES), st.binary(max_size=6)), max_size=40).map(b"".join))
def test_any_bytes_give_entries_or_a_named_trouble(body: bytes) -> None:
    found = read_entries(SOURCE, body)
    assert found.entries or found.troubles
    assert len(found.entries) == len(found.unseen)
    scan(body)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_flipped_byte_never_costs_an_exception(data: st.DataObject) -> None:
    body = bytearray(data.draw(st.sampled_from([RSS2, RSS1, ATOM, JSON, CSV])).encode())
    for _ in range(3):
        body[data.draw(st.integers(0, len(body) - 1))] = data.draw(st.integers(0, 255))
    found = read_entries(SOURCE, bytes(body))
    assert found.entries or found.troubles


# What seldom happens.


def test_an_id_that_is_the_suffixed_one_of_another() -> None:
    found = read(json.dumps([{"id": "a", "title": "1"}, {"id": "a~2", "title": "2"}, {"id": "a", "title": "3"}]))
    assert found.present == ("a", "a~2", "a~2~")


def test_json_of_any_depth_gives_entries_or_a_named_trouble() -> None:
    seen = set()
    for depth in (*range(850, 1000), 200_000):
        body = '[{"title": "5 tor", "x": ' + "[" * depth + "1" + "]" * depth + "}]"
        found = read(body)
        seen.add(found.failed)
        assert found.entries or found.troubles[0].kind == "deep json"
    assert seen == {False, True}


def test_json_says_yes_and_no_and_when_it_was_published() -> None:
    row = {"id": "1", "title": "5 tor", "date_published": "2026-03-01", "sold": True, "fixed": False, "a": " ", "b": {}}
    (entry,) = read(json.dumps({"items": [row]})).entries
    assert entry.extra == {"sold": "yes", "fixed": "no", "published": "2026-03-01"}


def test_items_past_the_cap_are_not_won_back(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rescue, "ITEMS", 3)
    found = read(rss_of("<item><title>5 & 10 tor</title></item>" * 2 + "".join(map(item_of, range(5)))))
    assert found.total <= 3


@pytest.mark.parametrize(("cap", "why"), [("ITEMS", "more than 3 entries"), ("ELEMENTS", "more than 3 elements")])
def test_a_document_past_a_cap_is_read_as_far_as_it_goes(cap: str, why: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scanning, cap, 3)
    found = read(rss_of("".join(map(item_of, range(5)))))
    assert why in told(found)


def test_a_parser_that_fails_costs_only_its_entries(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*given: object, **options: object) -> None:
        raise AttributeError("made by a malformed feed")

    monkeypatch.setattr("feedparser.parse", fail)
    found = read(rss_of(item_of(1, "<author>Brannental</author>")))
    assert (found.entries, told(found)) == (
        (),
        "Lindmoor, entry 1: is not well formed and was rejected; the other entries stand",
    )


def test_a_summary_that_the_text_repeats_is_told_once() -> None:
    entry = (
        "<entry><id>1</id><title>5 tor</title><summary>Price: 120 EUR</summary>"
        "<content>Nice piece. Price: 120 EUR</content></entry>"
    )
    (one,) = read(f'<feed xmlns="http://www.w3.org/2005/Atom"><title>t</title>{entry}</feed>').entries
    assert one.description == "Nice piece. Price: 120 EUR"


def test_a_root_that_is_not_well_formed_keeps_its_namespaces_and_its_items() -> None:
    root = "<rss version=2.0 xmlns:lot='urn:lot' xmlns:media=\"urn:media\" xmlns:lot='urn:again'>"
    item = "<item><guid>1</guid><title>5 tor</title><lot:price currency='GBP'>12.50</lot:price></item>"
    found = read(f"{root}<channel>{item}</channel></rss>")
    assert [(entry.id, entry.fields["price"], entry.fields["currency"]) for entry in found.entries] == [
        ("1", "12.50", "GBP")
    ]
    assert "the entries were read one by one" in told(found)
