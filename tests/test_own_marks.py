"""Nothing in the sample, the test data or the docs is the number of a real holder or the address of a real house."""

from __future__ import annotations

import re
from itertools import chain
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

OF_OTHERS = re.compile(
    r"\bcert\w*\W[^\n]{0,16}\b(\d{8}|\d{7}-\d{3})\b|https?://[\w.-]+\.(com|net|eu|de)\b", re.IGNORECASE
)
"""Certificate numbers are like `Q418-2907` or `88.120.44H`, addresses end in `.example`."""


def test_certificate_numbers_and_addresses_have_shapes_of_our_own() -> None:
    folders = (ROOT / "sample_feeds", ROOT / "tests" / "data", ROOT / "docs")
    paths = chain.from_iterable(folder.glob("*.*") for folder in folders)
    texts = {path.name: path.read_bytes().decode("utf-8", "replace") for path in paths if path.suffix != ".zip"}
    assert {name: found[0] for name, text in texts.items() if (found := OF_OTHERS.search(text))} == {}


def test_a_number_or_an_address_of_others_is_found() -> None:
    assert OF_OTHERS.search("QCG MS-62. Cert. 56287339.")
    assert OF_OTHERS.search('"cert_number": "4471902-013"')
    assert OF_OTHERS.search("https://rooms.com/lot/1")
