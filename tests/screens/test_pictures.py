"""The pictures in the docs are those of the screens, cell by cell and colour by colour: paint, where the other tests
compare words. `python docs/pictures.py` takes them anew."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]


def _pictures() -> ModuleType:
    spec = importlib.util.spec_from_file_location("pictures", ROOT / "docs" / "pictures.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # its dataclasses look their module up
    spec.loader.exec_module(module)
    return module


pictures = _pictures()


@pytest.mark.parametrize("shot", pictures.SHOTS, ids=lambda shot: shot.name)
async def test_a_screen_looks_as_its_picture(shot: Any, sample_shelf: Path, tmp_path: Path) -> None:
    made = await pictures.shoot(sample_shelf, shot)
    if made != (pictures.FOLDER / f"{shot.name}.svg").read_text("utf-8"):
        (tmp_path / f"{shot.name}.svg").write_text(made, "utf-8")
        pytest.fail(f"{shot.name} looks other than docs/pictures/{shot.name}.svg; see {tmp_path / shot.name}.svg")


def test_there_are_twelve_pictures_in_both_sizes_and_none_is_left_over() -> None:
    names = {shot.name for shot in pictures.SHOTS}
    assert len(names) >= 12
    assert {shot.size for shot in pictures.SHOTS} == {pictures.SMALL, pictures.LARGE}
    assert {path.stem for path in pictures.FOLDER.glob("*.svg")} == names


def test_a_picture_calls_no_address() -> None:
    for path in pictures.FOLDER.glob("*.svg"):
        assert not pictures.AWAY.search(path.read_text("utf-8")), path.name
