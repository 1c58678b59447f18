"""Whose faults a description tells: the piece's own, or nothing's, its holder's, other pieces', the post's."""

from __future__ import annotations

from tests.core.reading.scanned import VOCABULARY
from tests.growth import IN_STEP, growth
from watchlist.core.reading.fields.problems import find_problems
from watchlist.core.reading.record import DESCRIPTION
from watchlist.core.reading.scanning.scan import Scan

NO_FAULT = (
    "Free of scratches, rim nicks and cleaning.",
    "Neither cleaned nor polished.",
    "No trace whatever of any old cleaning.",
    "Scratches: none.",
    "The holder has light scratches.",
    "The scratch you see is on the plastic flip.",
    "Coins that have been cleaned or damaged cannot be returned.",
    "We do not accept returns for coins removed from their holders, cleaned or damaged.",
    "Returns accepted if it arrives damaged.",
    "Usually found holed.",
    "It made a dent in my wallet.",
    "Struck from polished dies, engraved by a master.",
    "Kratzer auf der Kapsel, Originaletui verkratzt.",
    "Keine Haftung bei Beschädigung auf dem Postweg.",
    "L'étui est taché. Flan poli, tranche striée.",
    "Patine légèrement dorée.",
    "No se admiten devoluciones de piezas limpiadas o dañadas por el comprador.",
    "Slab con lievi graffi. Contorno rigato.",
    "Het doosje is beschadigd, de munt niet.",
    "A couple of coins looked related.",
)
FAULTS = {
    "Lightly cleaned, no returns.": {"cleaned"},
    "In holder, scratched.": {"scratched"},
    "The case is worn, the coin is scratched.": {"scratched"},
    "Not perfect but cleaned.": {"cleaned"},
    "No scratches, rim nick at 3 o'clock.": {"rim_ding"},
    "Slab says AU details cleaned.": {"cleaned"},
    "Holed\nThe holder is fine": {"holed"},
    "War in Fassung, daher Fassungsspuren.": {"mount_removed", "ex_jewelry"},
}


def told(text: str, single: bool = True) -> set[str]:
    """The faults that a description tells of its piece."""
    return {finer for finer, _, _ in find_problems(Scan(text, VOCABULARY.lex, place=DESCRIPTION), single)}


def test_what_is_no_fault_of_the_piece() -> None:
    assert {text: told(text) for text in NO_FAULT} == {text: set() for text in NO_FAULT}


def test_what_is_its_own() -> None:
    assert {text: told(text) for text in FAULTS} == FAULTS


def test_faults_of_several_pieces_are_theirs() -> None:
    assert told("Cleaned coins, some holed.", single=False) == {"cleaned", "holed"}


def test_the_cost_of_a_hostile_description_grows_in_step() -> None:
    assert growth(lambda size: told("cleaned holder, no scratched or holed " * (size // 8)), 96) < IN_STEP
