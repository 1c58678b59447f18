"""Keys of the person's own: wrong ids and keys that are taken are named, with what stays true."""

from __future__ import annotations

from pathlib import Path

import pytest

from watchlist.cli import main
from watchlist.screens.actions import by_id
from watchlist.screens.keys import Keys


def test_an_unknown_action_is_named_with_the_nearest() -> None:
    (notice,) = Keys({"folow": "F3"}).notices
    assert "`folow` is not an action (did you mean `follow`?)" in notice


def test_a_key_that_is_taken_is_named_once_with_both_actions_and_what_is_left() -> None:
    (notice,) = Keys({"follow": "q"}).notices
    assert notice == (
        "settings: [keys] `q` is the key of both follow and quit on tray, ticket; follow has it, quit keeps ctrl+q."
    )
    (notice,) = Keys({"follow": "d"}).notices
    assert "dismiss has none left, the palette reaches it" in notice


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("F3", "f3"),
        ("f3", "f3"),
        ("Esc", "escape"),
        ("PgUp", "pageup"),
        ("Ctrl+T", "ctrl+t"),
        ("F", "F"),
        ("Space", "space"),
    ],
)
def test_keys_are_written_as_people_write_them(written: str, key: str) -> None:
    assert Keys({"follow": written}).of(by_id("follow")) == (key,)


def test_check_says_it_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "settings.toml").write_text('[keys]\nfolow = "F3"\nskip = "q"\n', "utf-8")
    assert main(["check", "--shelf", str(tmp_path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "`folow` is not an action (did you mean `follow`?)" in said
    assert "`q` is the key of both skip and quit" in said
