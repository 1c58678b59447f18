"""The same two lots in every kind of feed, written from the specifications named beside each."""

from __future__ import annotations

# RSS 2.0 specification: item with title, link, description, guid (isPermaLink), pubDate (RFC 822), category, enclosure.
RSS2 = """<?xml version="1.0" encoding="utf-8"?>
<rss version="2.0" xmlns:lot="https://lindmoor.example/lot" xmlns:g="https://goods.example/ns/1.0">
<channel><title>Lindmoor Sales</title><link>https://lindmoor.example/</link><description>Lots</description>
<item><title>Orvany 5 tor 1890-V VF</title><link>https://lindmoor.example/lot/1</link>
<description>&lt;ul&gt;&lt;li&gt;Price: 120 EUR&lt;/li&gt;&lt;li&gt;Weight 25.8 g&lt;/li&gt;&lt;/ul&gt;</description>
<guid isPermaLink="false">LM-1</guid><pubDate>Mon, 02 Mar 2026 10:00:00 GMT</pubDate><category>Silver</category>
<enclosure url="https://lindmoor.example/1.jpg" length="1" type="image/jpeg"/>
<lot:price currency="GBP">12.50</lot:price><lot:endTime>2026-03-14T20:00:00+01:00</lot:endTime></item>
<item><title>Orvany 10 lind 1884 bronze &amp;amp; toned</title><link>https://lindmoor.example/lot/2</link>
<description><![CDATA[<table><tr><td>Price</td><td>8 EUR</td></tr></table>]]></description>
<guid>https://lindmoor.example/lot/2</guid>
<g:price>129.00 USD</g:price><g:shipping><g:price>5.00 USD</g:price></g:shipping></item>
</channel></rss>"""

# RSS 1.0 specification: items beside the channel, each with rdf:about.
RSS1 = """<?xml version="1.0"?>
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" xmlns="http://purl.org/rss/1.0/"
 xmlns:dcterms="http://purl.org/dc/terms/" xmlns:dc="http://purl.org/dc/elements/1.1/">
<channel rdf:about="https://lindmoor.example/feed"><title>Lindmoor</title><link>https://lindmoor.example/</link>
<description>Lots</description>
<items><rdf:Seq><rdf:li rdf:resource="https://lindmoor.example/lot/1"/></rdf:Seq></items>
</channel>
<item rdf:about="https://lindmoor.example/lot/1"><title>Orvany 5 tor 1890-V VF</title>
<link>https://lindmoor.example/lot/1</link><description>Price: 120 EUR</description><dc:creator>Brannental</dc:creator>
<dcterms:valid>start=2026-03-01T00:00:00Z; end=2026-03-14T19:00:00Z;</dcterms:valid></item></rdf:RDF>"""

# RSS 0.91, with the document type that its specification prescribes.
RSS091 = """<?xml version="1.0"?>
<!DOCTYPE rss PUBLIC "-//Example//DTD RSS 0.91//EN" "https://dtd.example/rss-0.91.dtd">
<rss version="0.91"><channel><title>t</title><link>https://lindmoor.example/</link><description>d</description>
<language>en</language><item><title>Orvany 5 tor 1890-V VF</title><link>https://lindmoor.example/lot/1</link>
<description>Price: 120 EUR</description></item></channel></rss>"""

# RFC 4287, 1.1 and 3.1: text constructs of type text, html and xhtml; 4.2.6: id; 4.2.7: links.
ATOM = """<?xml version="1.0" encoding="utf-8"?>
<feed xmlns="http://www.w3.org/2005/Atom" xmlns:lot="urn:lot"><title>Lindmoor</title><id>urn:lindmoor</id>
<updated>2026-03-01T12:00:00Z</updated>
<entry><title type="html">Orvany 5 tor 1890-V &lt;b&gt;VF&lt;/b&gt;</title>
<id>urn:lot:1</id><updated>2026-03-01T12:00:00Z</updated>
<link rel="enclosure" href="https://lindmoor.example/1.jpg"/>
<link rel="alternate" href="https://lindmoor.example/lot/1"/>
<author><name>Brannental</name></author><category term="Silver"/>
<content type="xhtml"><div xmlns="http://www.w3.org/1999/xhtml"><p>Price: <b>120</b> EUR</p>
<p>Weight 25.8 g</p></div></content>
<lot:auction><lot:currentBid currency="EUR">95</lot:currentBid></lot:auction></entry>
<entry><title>20&lt;30 tor &amp; more</title><id>urn:lot:2</id><updated>2026-03-01T12:00:00Z</updated>
<link href="https://lindmoor.example/lot/2"/><summary type="text">Price: 8 EUR
Closes: soon</summary></entry></feed>"""

ATOM03 = """<feed version="0.3" xmlns="http://purl.org/atom/ns#"><title>Lindmoor</title>
<entry><title>Orvany 5 tor 1890-V VF</title><id>urn:lot:1</id><modified>2026-03-01T12:00:00Z</modified>
<link rel="alternate" type="text/html" href="https://lindmoor.example/lot/1"/>
<content type="text/html" mode="escaped">Price: 120 EUR&lt;br&gt;x</content></entry></feed>"""

# JSON Feed 1.1: version, items with id, url, content_html or content_text; extensions begin with an underscore.
JSON = """{"version": "https://jsonfeed.org/version/1.1", "title": "Lindmoor", "items": [
{"id": "LM-1", "url": "https://lindmoor.example/lot/1", "title": "Orvany 5 tor 1890-V VF",
 "content_html": "<p>Price: 120 EUR</p>", "authors": [{"name": "Brannental"}], "tags": ["Silver"],
 "_lot": {"price": 12.50, "currency": "GBP", "ends_at": "2026-03-14T20:00:00+01:00"}},
{"id": 2, "title": "Orvany 10 lind 1884", "content_text": "Price: 8 EUR\\nWeight 5 g"}]}"""

CSV = """Los-Nr.;Titel;Preis;Währung;Auktionsende;Link
LM-1;Orvany 5 tor 1890-V VF;12,50;GBP;14.03.2026 20:00;https://lindmoor.example/lot/1
LM-2;"Orvany 10 lind 1884; bronze";8,00;EUR;14.03.2026 20:05;https://lindmoor.example/lot/2
"""


def rss_of(items: str, head: str = "") -> bytes:
    """A feed of the given items."""
    return f'<rss version="2.0"{head}><channel><title>t</title>{items}</channel></rss>'.encode()


def item_of(number: int, more: str = "") -> str:
    """A lot, and whatever else."""
    return (
        f"<item><title>Orvany 5 tor {1880 + number % 40}</title><guid>LM-{number}</guid>"
        f"<link>https://lindmoor.example/lot/{number}</link>"
        f"<description>Price: {number} EUR</description>{more}</item>"
    )
