"""The server of this folder's tests."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.feeds.feed_server import Site, site


@pytest.fixture
def web() -> Iterator[Site]:
    with site() as served:
        yield served
