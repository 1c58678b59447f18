"""Every verb and option that the documents name exists, and every one that exists is named in docs/commands.md."""

from __future__ import annotations

import argparse
import configparser
import plistlib
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest

from watchlist.cli.parser import Parser, build, verb
from watchlist.cli.verbs import VERBS

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = (ROOT / "docs" / "commands.md").read_text("utf-8")
PAGES = ("README.md", "DEVELOPERS.md", *(f"docs/{path.name}" for path in (ROOT / "docs").glob("*.md")))


def verbs(parser: argparse.ArgumentParser) -> dict[str, Parser]:
    found: dict[str, Parser] = {}
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            found |= {name: choice.filled() for name, choice in action.choices.items()}
    return found


def options(parser: argparse.ArgumentParser) -> set[str]:
    return {text for action in parser._actions for text in action.option_strings if text.startswith("--")}


def all_options(verb: str) -> set[str]:
    """The options of a verb and of its acts."""
    top = verbs(build())[verb]
    return options(top).union(*(options(act) for act in verbs(top).values()))


@pytest.mark.parametrize("verb", VERBS)
def test_every_argument_has_its_line_of_help(verb: str) -> None:
    """And where one of a few words is taken, the help reads as words, no list in braces with an empty one."""
    top = verbs(build())[verb]
    for name, parser in {"": top, **verbs(top)}.items():
        for action in parser._actions:
            if not isinstance(action, argparse._SubParsersAction):
                assert action.help, (verb, name, action.dest)
                assert not (action.choices and "" in action.choices and not action.metavar), (verb, name, action.dest)


def spoken(page: str) -> Iterator[list[str]]:
    """Commands in a page: lines of fenced blocks and code in the text that begin with the command's name."""
    text = (ROOT / page).read_text("utf-8")
    blocks = re.findall(r"```\w*\n(.*?)```", text, re.S)
    lines = [line for block in blocks for line in block.splitlines()]
    lines += re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.S))
    for line in lines:
        match = re.match(r"(?:\S*/)?watchlist (.*)", line.split(" #")[0].strip())
        if match:
            yield re.split(r"\s{2,}", match[1])[0].split()


@pytest.mark.parametrize("page", PAGES)
def test_every_command_in_a_document_exists(page: str) -> None:
    shared = options(build())
    for words in spoken(page):
        named = [word for word in words if not word.startswith(("-", "["))]
        if not named:
            continue
        verb = named[0]
        assert verb in VERBS, f"{page}: {' '.join(words)}"
        for option in re.findall(r"--[a-z][a-z-]*", " ".join(words)):
            assert option in all_options(verb) | shared, f"{page}: {' '.join(words)}"


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_and_option_is_in_the_documents(verb: str) -> None:
    assert f"watchlist {verb}" in COMMANDS
    for act in verbs(verbs(build())[verb]):
        assert re.search(rf"watchlist {verb} (\w+\|)*{act}\b", COMMANDS), f"{verb} {act}"
    for option in all_options(verb):
        assert option in COMMANDS or option == "--help", f"{verb} {option}"


def test_every_verb_has_its_module_and_its_help() -> None:
    modules = {path.stem.rstrip("_") for path in (ROOT / "watchlist" / "cli" / "verbs").glob("[!_]*.py")}
    assert modules == set(VERBS)
    for name, words in VERBS.items():
        assert callable(verb(name).run)
        assert words[0].islower()


def test_every_exit_code_is_in_the_documents() -> None:
    from watchlist.cli import out

    codes = {value for name, value in vars(out).items() if name.isupper() and isinstance(value, int)}
    table = COMMANDS.split("## Exit codes")[1]
    assert codes == {int(code) for row in re.findall(r"^\| ([\d, ]+) \|", table, re.M) for code in row.split(",")}


def test_every_option_is_explained_or_speaks_for_itself() -> None:
    plain = {
        "--high",
        "--quantity",
        "--priority",
        "--note",
        "--venue",
        "--price",
        "--price-kind",
        "--seller",
        "--link",
        "--description",
        "--won",
    }
    for name, parser in verbs(build()).items():
        for each in (parser, *verbs(parser).values()):
            for action in each._actions:
                if action.option_strings and not action.help:
                    assert set(action.option_strings) <= plain, f"{name} {action.option_strings}"


def test_the_worked_schedules_are_sound() -> None:
    """Each as its own reader takes it: five fields of cron, units of systemd, a property list of launchd."""
    text = (ROOT / "docs" / "digest.md").read_text("utf-8")
    blocks = {kind: re.findall(rf"```{kind}\n(.*?)```", text, re.S) for kind in ("cron", "ini", "xml", "bat")}
    (cron,) = blocks["cron"]
    assert re.fullmatch(r"\d+ \d+ \* \* \* [^%\n]+\n", cron), "a bare % ends the command of a crontab"
    units = []
    for block in blocks["ini"]:
        unit = configparser.RawConfigParser(strict=False)
        unit.read_string(block)
        units.append(unit)
    assert units[0]["Service"]["ExecStart"].startswith("%h/")
    assert units[1]["Timer"]["OnCalendar"] == "*-*-* 07:15:00"
    plist = plistlib.loads(blocks["xml"][0].encode())
    assert plist["StartCalendarInterval"] == {"Hour": 7, "Minute": 15}
    every = [cron, *blocks["ini"][:1], plist["ProgramArguments"][2], blocks["bat"][0]]
    for each in every:
        said = re.findall(r"watchlist(?:\.exe)?\"? (gather|digest \S+ --replace)", each)
        assert [line.split()[0] for line in said] == ["gather", "digest"]
        for line in said:
            build().parse_args(shlex.split(line, posix=False))
