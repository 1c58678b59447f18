"""The sample shelf, laid out once for all tests."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

for _name in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ.setdefault(_name, "1")  # as the program has it; here another library may wake numpy first

import pytest  # noqa: E402

from watchlist.desk import sample  # noqa: E402


@pytest.fixture(scope="session")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample shelf, to read from and to copy."""
    shelf = tmp_path_factory.mktemp("sample") / "shelf"
    sample.lay_out(sample.load(sample.find_sample()), shelf)
    return shelf


@pytest.fixture
def sample_shelf(laid_out: Path, tmp_path: Path) -> Path:
    """A copy of it, to write to."""
    return Path(shutil.copytree(laid_out, tmp_path / "sample"))
