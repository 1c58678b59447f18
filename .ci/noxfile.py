"""The tests on every Python that is found, with the oldest and the newest dependencies that pyproject.toml allows; and
the wheel, built and used far from here.

`nox -f .ci/noxfile.py` runs them all; with `-s "tests-3.11(oldest)" -- tests/core` or `-s wheel` a part of them."""

from __future__ import annotations

import re
import shutil
import tomllib
from pathlib import Path

import nox

ROOT = Path(__file__).resolve().parents[1]
FIRST, LAST = 11, 20
"""Minor versions of Python 3 that are looked for: the one pyproject.toml asks for, and more than there are."""
PYTHONS = [f"3.{minor}" for minor in range(FIRST, LAST) if shutil.which(f"python3.{minor}")]
LOWEST = re.compile(r"([\w-]+)[^>;]*>=\s*([\d.]+)")

nox.options.error_on_missing_interpreters = False


def lowest() -> list[str]:
    """Each dependency at the lowest version that is allowed."""
    named = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    return [f"{found[1]}=={found[2]}" for each in named if (found := LOWEST.match(each))]


@nox.session(python=PYTHONS)
@nox.parametrize("dependencies", ["oldest", "newest"], ids=["oldest", "newest"])
def tests(session: nox.Session, dependencies: str) -> None:
    """Install, say what was installed, run the tests."""
    session.chdir(ROOT)
    session.install(".[test]", *(lowest() if dependencies == "oldest" else ["--upgrade"]))
    session.run("python", "-m", "pip", "list")
    session.run("python", "-m", "pytest", *session.posargs)


@nox.session
def wheel(session: nox.Session) -> None:
    """Build source and wheel, install the wheel by itself, and see a morning on the samples inside it."""
    away = Path(session.create_tmp()).resolve()
    shutil.rmtree(away / "dist", ignore_errors=True)
    session.install("build")
    session.run("python", "-m", "build", "--outdir", str(away / "dist"), str(ROOT))
    (made,) = (away / "dist").glob("*.whl")
    session.install("--force-reinstall", str(made))
    session.chdir(away)
    session.run("watchlist", "try", "--plain", env={"PYTHONPATH": ""})
