"""Word tables put together from their parts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from watchlist import words
from watchlist.words import Words, load

FOLDER = Path(words.__file__).parent


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of words with two languages and names from CLDR."""
    for name in ("languages", "cldr", "coinages"):
        (tmp_path / name).mkdir()
    put(tmp_path, "times", '[said]\nbound = ["<"]\n')
    put(
        tmp_path,
        "languages/de",
        '[titles]\nvote = ["und"]\n\n[times.said]\nbound = ["bis zu", "ca"]\n[times.months]\n5 = ["wonne"]\n',
    )
    put(
        tmp_path,
        "languages/en",
        '[times.said]\nbound = ["up to", "ca"]\n\n[titles]\nvote = ["and"]\n\n[money]\nfloor = 2\n',
    )
    put(tmp_path, "cldr/de", '[times.months]\n5 = ["mai"]\n')
    put(tmp_path, "coinages/aa", '[unit]\ntor = { words = ["tor"] }\n')
    put(tmp_path, "coinages/shared", '[unit]\nlind = { words = ["lind"] }\n')
    put(tmp_path, "money", "floor = 1\n")
    return tmp_path


def put(folder: Path, name: str, text: str) -> None:
    (folder / f"{name}.toml").write_text(text, "utf-8")


def test_a_table_is_what_no_language_owns_then_english_then_the_others_each_word_once(folder: Path) -> None:
    assert Words(folder).table("times") == {
        "said": {"bound": ["<", "up to", "ca", "bis zu"]},
        "months": {"5": ["wonne", "mai"]},
    }


def test_titles_stay_apart_by_language(folder: Path) -> None:
    assert Words(folder).table("titles") == {"en": {"vote": ["and"]}, "de": {"vote": ["und"]}}


def test_what_coinages_share_comes_before_the_countries(folder: Path) -> None:
    assert list(Words(folder).table("coinages")["unit"]) == ["lind", "tor"]


def test_of_two_figures_the_first_stands(folder: Path) -> None:
    assert Words(folder).table("money") == {"floor": 1}


def test_every_table_is_listed_a_section_without_a_shared_part_too(folder: Path) -> None:
    assert Words(folder).names() == ["coinages", "money", "times", "titles"]


def test_a_table_that_nothing_holds_is_refused(folder: Path) -> None:
    with pytest.raises(FileNotFoundError, match="no word table nothing"):
        Words(folder).table("nothing")


def test_a_table_of_the_package_is_read_once() -> None:
    assert load("times") is load("times") is load()["times"]


@pytest.mark.parametrize("path", sorted((FOLDER / "languages").glob("*.toml")), ids=lambda path: path.stem)
def test_a_language_has_no_section_that_nothing_else_has(path: Path) -> None:
    """A section is one of English, the commented model, or adds to a table beside the languages."""
    own, model = (sections(FOLDER / "languages" / f"{stem}.toml") for stem in (path.stem, "en"))
    assert own <= model | {file.stem for file in FOLDER.glob("*.toml")}


def sections(path: Path) -> set[str]:
    return set(re.findall(r"(?m)^\[(\w+)", path.read_text("utf-8")))


@pytest.mark.parametrize("path", sorted((FOLDER / "coinages").glob("*.toml")), ids=lambda path: path.stem)
def test_a_coinage_says_what_it_is_and_owns_only_its_own(path: Path) -> None:
    assert path.read_text("utf-8").startswith("# ")
    table = Words(FOLDER).table("coinages")
    assert path.stem == "shared" or len(path.stem) > 3 or path.stem.upper() in table["country"]
