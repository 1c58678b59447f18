"""Whatever the cells hold, every row of every kind is a record or is set aside with a sentence."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.made_imports import WORDS, context, table
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS


@settings(max_examples=100, deadline=None)
@given(kind=st.sampled_from(sorted(KINDS)), data=st.data())
def test_every_row_is_a_record_or_set_aside(kind: str, data: st.DataObject) -> None:
    columns = WORDS["columns"]["kinds"][kind]["columns"]
    columns = [name.replace("units_per", "units_per_EUR") for name in columns]
    letters = st.characters(exclude_categories=["Cs"], exclude_characters='",;\n\r')
    cell = st.text(letters, max_size=10) | st.sampled_from(
        ["5 tor", "1899", "VF", "2024-03-01", "EUR", "120", "any", "yes", "40-50", "t2", "{}", "1e999", "0:5", "NaN"]
    )
    rows = data.draw(st.lists(st.tuples(*[cell] * len(columns)), max_size=4))
    text = "\n".join([",".join(columns), *(",".join(row) for row in rows)])
    read_in = table(text, kind)
    read = take(KINDS[kind], read_in, context())
    lines = {row.line for row in read_in.rows} | {one.line for one in read_in.set_aside}
    assert len(read.records) + len(read.set_aside) >= len(lines) or any("last" in note for note in read.notes)
    assert {one.line for one in read.set_aside} <= lines
