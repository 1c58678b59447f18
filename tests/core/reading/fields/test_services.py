"""Who holds the piece now."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.services import Holder, find_service, unknown_service
from watchlist.core.reading.vocabulary.gradegrammar import Grade

KNOWN = frozenset(("qcg", "hns"))


@pytest.mark.parametrize(
    ("title", "service"),
    [
        ("tor 1889 QCG VF20", "QCG"),
        ("tor 1889 XYZ VF20", None),
        ("tor 1889 QCG-style VF20", None),
        ('tor 1889 "QCG" VF20', None),
        ("tor 1889 QCG type VF20", None),
        ("tor 1889 QCG Type 2", "QCG"),
        ("tor 1889 ex-QCG VF20", None),
        ("tor 1889 by QCG", "QCG"),
        ("tor 1889 not by QCG", None),
        ("tor 1889 QCG? no", None),
        ("tor 1889 would grade QCG VF20", None),
        ("tor 1889 cracked out of QCG holder", None),
    ],
)
def test_a_service_that_is_known(title: str, service: str | None) -> None:
    assert find_service(scan(title), KNOWN).service == service


def test_a_doubted_service() -> None:
    assert find_service(scan("tor 1889 QCG?"), KNOWN).doubted


@pytest.mark.parametrize(
    ("title", "code"),
    [
        ("tor XYZ MS 65", "XYZ"),
        ("tor XYZ MS 65 TOR", "XYZ"),
        ("TOR XYZ MS 65", None),
        ('tor "XYZ MS 65', None),
        ("tor XYZXYZ MS 65", None),
        ("tor silver MS 65", None),
    ],
)
def test_a_code_by_a_numbered_grade_may_be_one_nobody_named(title: str, code: str | None) -> None:
    scanned, holder = scan(title), Holder()
    at = next(at for at, token in enumerate(scanned.them) if token.text == "MS")
    unknown_service(scanned, [Grade(65, 65, at, at + 2, "us", "ms", numbered=True)], holder)
    assert holder.unknown == code
