"""The five sources in their own formats: RSS, Atom, JSON Feed, a German CSV, and a page that is no feed."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from email.utils import format_datetime
from xml.sax.saxutils import escape, quoteattr
from zoneinfo import ZoneInfo

from scenario.lots import Lot

SITE = "https://{}.example"
SIGN_IN = """<!DOCTYPE html>
<html lang="en"><head><title>Lindmoor Sales - please sign in</title></head>
<body><h1>Please sign in</h1><p>Your session has ended. Sign in to see the evening session.</p>
<form action="/login" method="post"><input name="user"><input name="password" type="password"></form>
</body></html>
"""
OLD, NEW = datetime(2026, 2, 25, 8, 0, tzinfo=UTC), datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
Price = Callable[[Lot], Decimal | None]


def _money(amount: Decimal | None, currency: str) -> str:
    if amount is None:
        return "on request"
    text = f"{amount:,.2f}"
    return f"{currency} {text.removesuffix('.00')}"


def _clock(when: datetime, zone: str) -> str:
    """Mar 7, 2026 9:00 PM EST: the marketplace's way."""
    local = when.astimezone(ZoneInfo(zone))
    hour = local.hour % 12 or 12
    half = "PM" if local.hour >= 12 else "AM"
    return f"{local:%b} {local.day}, {local.year} {hour}:{local:%M} {half} {local.tzname()}"


def _listed(lot: Lot) -> datetime:
    """When the lot was put up: the same in both snapshots, so that an unchanged entry keeps its bytes."""
    minutes = sum(ord(letter) * (n + 7) for n, letter in enumerate(lot.id)) * 13
    first, span = (NEW, 16 * 60) if lot.plan.listed == "today" else (OLD, 5 * 24 * 60)
    return first + timedelta(minutes=minutes % span)


def _estimate(lot: Lot) -> str:
    """A house's estimate: round, and rather low."""
    fair = float(lot.price or 50) * 1.15
    step = 10 if fair < 200 else 50
    low = max(round(fair * 0.9 / step) * step, step)
    return f"{low:,}-{low + max(step, round(low * 0.3 / step) * step):,}"


def rss(lots: Sequence[Lot], price: Price, now: datetime) -> str:
    """Lindmoor: price and estimate in the text, closing time in an element of the house's own."""
    items = []
    for lot in lots:
        listed = format_datetime(_listed(lot))
        ends = (
            ""
            if lot.plan.closes is None
            else f"<lot:closes>{lot.plan.closes.astimezone(ZoneInfo('Europe/London')).isoformat()}</lot:closes>"
        )
        body = (
            f"<p>{escape(lot.text)}</p><table><tr><td>Current bid</td><td>{_money(price(lot), 'GBP')}</td></tr>"
            f"<tr><td>Estimate</td><td>GBP {_estimate(lot)}</td></tr></table>"
        )
        items.append(
            f"<item>\n<title>{escape(lot.title)}</title>\n<link>{SITE.format('lindmoor')}/lot/{lot.id}</link>\n"
            f'<guid isPermaLink="false">LM-{lot.id}</guid>\n<pubDate>{listed}</pubDate>\n{ends}\n'
            f"<description>{escape(body)}</description>\n</item>"
        )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<rss version="2.0" xmlns:lot="https://lindmoor.example/ns/lot">\n'
        f"<channel>\n<title>Lindmoor Sales, current lots</title>\n<link>{SITE.format('lindmoor')}/</link>\n"
        f"<description>Lots of the current sales. An invented house.</description>\n"
        f"<lastBuildDate>{format_datetime(now)}</lastBuildDate>\n" + "\n".join(items) + "\n</channel>\n</rss>\n"
    )


def atom(lots: Sequence[Lot], price: Price, now: datetime) -> str:
    """Wexby: price, format and ratings in elements of its own, the closing time in the text."""
    entries = []
    for lot in lots:
        amount = price(lot)
        tag = "buyNow" if lot.plan.fixed else "currentBid"
        money = "" if amount is None else f'<mkt:{tag} currency="USD">{amount:.2f}</mkt:{tag}>'
        ends = "" if lot.plan.closes is None else f"<p>Ends: {_clock(lot.plan.closes, 'America/New_York')}</p>"
        body = f"<p>{escape(lot.text)}</p>{ends}<p>Seller: {escape(lot.seller)} ({lot.ratings})</p>"
        listed = _listed(lot).isoformat()
        entries.append(
            f'<entry>\n<id>tag:wexby.example,2026:{lot.id}</id>\n<title type="text">{escape(lot.title)}</title>\n'
            f'<link rel="alternate" href={quoteattr(SITE.format("wexby") + "/item/" + lot.id)}/>\n'
            f"<updated>{listed}</updated>\n<author><name>{escape(lot.seller)}</name></author>\n"
            f"{money}<mkt:ratings>{lot.ratings}</mkt:ratings>\n"
            f'<content type="html">{escape(body)}</content>\n</entry>'
        )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<feed xmlns="http://www.w3.org/2005/Atom" '
        'xmlns:mkt="https://wexby.example/ns/listing">\n<title>Wexby Coin Market: search "orvany"</title>\n'
        f"<id>tag:wexby.example,2026:search</id>\n<updated>{now.isoformat()}</updated>\n"
        + "\n".join(entries)
        + "\n</feed>\n"
    )


def json_feed(lots: Sequence[Lot], price: Price, now: datetime) -> str:
    """Ostrell: fixed prices in an object of the dealer's own."""
    items = []
    for lot in lots:
        amount = price(lot)
        coin = {
            "price": f"{amount:.2f}" if amount is not None else "",
            "currency": "EUR",
            "grade": lot.grade_text,
            "weight": lot.plan.weight,
            "status": "available",
        }
        items.append(
            {
                "id": lot.id,
                "url": f"{SITE.format('ostrell')}/stock/{lot.id}",
                "title": lot.title,
                "content_text": f"{lot.text} Price: EUR {amount:.2f}".strip(),
                "date_published": _listed(lot).isoformat(),
                "_offer": {k: v for k, v in coin.items() if v},
            }
        )
    feed = {
        "version": "https://jsonfeed.org/version/1.1",
        "title": "Ostrell Coins, stock list",
        "home_page_url": f"{SITE.format('ostrell')}/",
        "items": items,
    }
    return json.dumps(feed, ensure_ascii=False, indent=1) + "\n"


GERMAN_HEADINGS = (
    "Los-Nr.",
    "Bezeichnung",
    "Beschreibung",
    "Erhaltung",
    "Startpreis",
    "Aktuelles Gebot",
    "Währung",
    "Auktionsende",
    "Gewicht",
    "Link",
)


def german_csv(lots: Sequence[Lot], price: Price, now: datetime) -> str:
    """Brannental: semicolons, decimal commas, local times, in the old Windows letters."""
    out = io.StringIO()
    rows = csv.writer(out, delimiter=";", lineterminator="\r\n")
    rows.writerow(GERMAN_HEADINGS)
    for lot in lots:
        amount = price(lot)
        start = max((lot.price or Decimal(20)) * Decimal(".4") // 5 * 5, min(Decimal(5), amount or Decimal(5)))
        ends = lot.plan.closes_text or (
            lot.plan.closes.astimezone(ZoneInfo("Europe/Berlin")).strftime("%d.%m.%Y %H:%M") if lot.plan.closes else ""
        )
        rows.writerow(
            (
                lot.id,
                lot.title,
                lot.text,
                lot.grade_text,
                "" if amount is None else _comma(start),
                "" if amount is None else _comma(amount),
                "EUR",
                ends,
                lot.plan.weight.replace(".", ","),
                f"{SITE.format('brannental')}/los/{lot.id}",
            )
        )
    return out.getvalue()


def _comma(amount: Decimal) -> str:
    """1.250,00"""
    return f"{amount:,.2f}".replace(",", " ").replace(".", ",").replace(" ", ".")
