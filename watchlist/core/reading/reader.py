"""The title reader: one title in, one reading out."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.reading.choice.assembly import read
from watchlist.core.reading.choice.filling import fill, heard, talk
from watchlist.core.reading.fields.denominations import canonical_cell
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

EMPTY: Mapping[str, str] = {}


class Reader:
    """Reads titles with one vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary

    def read(
        self, title: str, description: str = "", fields: Mapping[str, str] = EMPTY, /, *, source: str = ""
    ) -> Reading:
        """What a title says. Never raises; each span says in which text it stands.

        Description and column fields fill only what the title leaves open; copy words and problems count anywhere.
        """
        vocabulary = self._vocabulary.at(source)
        number = fields.get("lot_id", "")
        if not (description or fields):
            return read(title, vocabulary)
        told = talk(description, fields, vocabulary)
        return fill(read(title, vocabulary, number=number, heard=heard(told, fields)), told, fields, vocabulary)

    def canonical_denomination(self, text: str, country: str = "", /) -> str:
        """A denomination cell in plain lower-case words, number first: `10c` of the United States is `dime`."""
        return canonical_cell(text, country, self._vocabulary)
