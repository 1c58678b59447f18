"""The SQL of what lots were at the last gather, and of what has changed since."""

from __future__ import annotations

TABLE = """CREATE TABLE before(id INTEGER PRIMARY KEY, at INT NOT NULL, price TEXT, currency TEXT, kind TEXT,
    closes INT, gone INT NOT NULL, mid TEXT, signs TEXT NOT NULL)"""
GONE = "coalesce(l.last_seen < (SELECT json_extract(f.data, '$.listed_at') FROM feeds f WHERE f.source = l.source), 0)"
"""Its source listed all its lots since, and not this one."""
_MID = "json_extract(t.judgement, '$.band.mid')"
_SIGNS = "json_each(coalesce(t.judgement, '{}'), '$.doubt.signs')"
TAKE = f"""INSERT OR IGNORE INTO before SELECT l.id, ?1, l.price, l.currency, l.kind, l.closes, {GONE}, {_MID},
    coalesce((SELECT group_concat(json_extract(s.value, '$.id'), ' ') FROM {_SIGNS} s), '')
    FROM lots l JOIN texts t USING (id) WHERE"""
CONCERN = """l.id IN (SELECT id FROM lots WHERE state IN ('followed', 'bid')
    UNION SELECT w.lot FROM lot_wants w JOIN lots o ON o.id = w.lot
    WHERE o.due >= ?1 AND o.kind IS NOT 'ended' AND o.state IN ('new', 'seen', 'ended'))"""
CHANGED = f"""SELECT l.id AS few FROM before b JOIN lots l USING (id) JOIN texts t USING (id) WHERE l.state <> 'skipped'
    AND (l.price IS NOT b.price OR l.currency IS NOT b.currency OR l.kind IS NOT b.kind OR l.closes IS NOT b.closes
    OR (l.closes > b.at AND l.closes <= ?) OR {GONE} > b.gone OR abs({_MID} / b.mid - 1) >= 0.1
    OR EXISTS (SELECT 1 FROM {_SIGNS} s
    WHERE instr(' ' || b.signs || ' ', ' ' || json_extract(s.value, '$.id') || ' ') = 0))"""
"""Numbers of the lots that are not what they were; the value is the time now."""
