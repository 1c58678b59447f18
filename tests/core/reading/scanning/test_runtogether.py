"""Words that a seller has run together."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import VOCABULARY
from watchlist.core.reading.scanning.runtogether import parted
from watchlist.core.reading.vocabulary.tokens import tokens


@pytest.mark.parametrize(
    ("title", "words"),
    [
        ("1889-SVF20", "1889 - S VF 20"), ("QCGMS63", "QCG MS 63"), ("1889omorgan", "1889 o morgan"),
        ("ChXF", "Ch XF"), ("dollarMorgan", "dollar Morgan"), ("VF20", "VF 20"), ("Morgan", "Morgan"),
        ("TORVF", "TORVF"), ("1889-SVF", "1889 - SVF"), ("McKinley", "McKinley"),
    ],
)  # fmt: skip
def test_both_parts_are_known_words(title: str, words: str) -> None:
    cut = parted(tokens(title), VOCABULARY.lex)
    assert " ".join(token.text for token in cut) == words
    assert all(title[token.start : token.end] == token.text for token in cut)
