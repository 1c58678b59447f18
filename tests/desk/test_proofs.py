"""A proof without a number is one piece, whatever language says so: one band, one mark, one price realised."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.desk.pieces import COIN, come, lot, row, sale
from watchlist.core.marks.record import Want
from watchlist.desk.desk import Desk
from watchlist.desk.own_files.importing import import_file
from watchlist.desk.prices import fitting
from watchlist.desk.results.results import result

PROOF = replace(COIN, key="orvany-5t-1893v-proof", variety="Proof")
WORDS = ("Proof", "PP", "flan bruni", "fondo specchio", "polierte Platte")


@pytest.fixture
def proofs(desk: Desk) -> Desk:
    """A catalogue with a proof, its sales, and a want of it in any grade from 60."""
    desk.shelf.store.catalogue.merge([PROOF])
    desk.shelf.notebook.wants.put(Want("w2", "Orvany", "5 tor", 1893, "V", "Proof", min_grade=60))
    prices = range(480, 530, 5)
    desk.shelf.store.prices.add(
        sale(n, amount, PROOF.key, grade_low=60, grade_high=70) for n, amount in enumerate(prices)
    )
    desk.forget()
    fitting.refit(desk)
    desk.forget()
    return desk


def test_a_proof_without_a_number_has_one_band_in_any_language(proofs: Desk) -> None:
    come(proofs, *(row(str(n), f"Orvany 5 tor 1893-V {word}", "300", hours=3) for n, word in enumerate(WORDS)))
    judged = [lot(proofs, f"north:{n}").judgement for n in range(len(WORDS))]
    first = judged[0]
    assert first is not None
    assert (first.issue, first.grade_low, first.grade_high, first.wants) == (PROOF.key, 60, 70, ("w2",))
    assert first.band is not None
    for other in judged[1:]:
        assert other is not None
        assert (other.band, other.value, other.mark, other.wants) == (first.band, first.value, first.mark, first.wants)


def test_what_a_proof_fell_for_counts_alike_by_result_and_by_file(proofs: Desk) -> None:
    come(proofs, *(row(str(n), f"Orvany 5 tor 1893-V {word}", "300", hours=3) for n, word in enumerate(WORDS[:2])))
    for n in range(2):
        result(proofs, f"north:{n}", "510", won=True)
    head = "sale_date,country,denomination,year,mint,title,hammer,currency"
    rows = (f"2026-11-2{n},Orvany,5 tor,1893,V,Orvany 5 tor 1893-V {word},499,EUR" for n, word in enumerate(WORDS))
    import_file(proofs, "prices", "\n".join((head, *rows, "")).encode(), "prices.csv")
    kept = [each for each in proofs.shelf.store.prices.each() if each.title]
    assert len(kept) == 2 + len(WORDS)
    assert {(each.grade_low, each.grade_high) for each in kept} == {(60, 70)}
    assert {each.grade_low for each in proofs.shelf.store.purchases.all()} == {60}
