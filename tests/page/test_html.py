"""The look of every page of ours: AA contrast in light and dark (Web Content Accessibility Guidelines 2.2, 1.4.3)."""

from __future__ import annotations

import re

import pytest

from watchlist.page.html import STYLE
from watchlist.screens.looks import contrast

LIGHT, DARK = STYLE.split("@media (prefers-color-scheme: dark)")
ENOUGH = 4.5


@pytest.mark.parametrize("css", [LIGHT, DARK.partition("@media print")[0]], ids=["light", "dark"])
def test_every_ink_is_read_on_every_ground(css: str) -> None:
    grounds = set(re.findall(r"background: (#[0-9a-f]{6})", css))
    inks = set(re.findall(r"[ {]color: (#[0-9a-f]{6})", css))
    assert len(grounds) == 1
    assert len(inks) == 2, "text, and what is said quietly"
    for ground in grounds:
        assert min(contrast(ink, ground) for ink in inks) >= ENOUGH
