"""Troubles in words: what happened, what stays true, what to do."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from watchlist.core.lots.trouble import Trouble, TroubleKind


class Said(NamedTuple):
    """The three parts of a sentence, with the facts of the trouble in braces."""

    what: str
    stays: str = ""
    do: str = ""


KEPT = "stored lots are unchanged"
NOT_FETCHED = f"nothing was fetched, {KEPT}"
NOT_FOLLOWED = f"it was not followed, {KEPT}"
NOT_TAKEN = f"nothing was taken, {KEPT}"
NONE_TAKEN = f"nothing of it was taken, {KEPT}"
LATER, ADDRESS, PATH = "try again later", "check the address", "check the path"
PARTIAL = "{entries} entries could be told apart, the rest may be missing (partial)"
WITHOUT = "the lot is kept without its {field}"

SAID: Mapping[TroubleKind, Said] = {
    "no address": Said("is not a web address", NOT_FETCHED, "correct it"),
    "other scheme": Said("is not an http or https address", NOT_FETCHED, "correct it"),
    "unknown host": Said("is not known to the name service", KEPT, "check the address and the connection"),
    "no certificate": Said("has no certificate that can be trusted ({said})", KEPT, LATER),
    "own certificates": Said("gives no certificates to check others by ({said})", KEPT, "correct or unset it"),
    "silent": Said("does not answer", KEPT, LATER),
    "passed over": Said("was silent once in this gather and was not asked again", KEPT, LATER),
    "odd answer": Said("does not answer as it should ({said})", KEPT, LATER),
    "late": Said("was not done within {seconds:g} s", KEPT, LATER),
    "many redirects": Said("redirects more than {times} times", KEPT, ADDRESS),
    "odd redirect": Said("redirects to {to}, which is not a web address", NOT_FOLLOWED, ADDRESS),
    "inner redirect": Said(
        "a redirect leads to {to}, a private address ({number})", NOT_FOLLOWED, "check the source's address"
    ),
    "moved": Said("has moved for good to {to}", do="change the source's address"),
    "gone": Said("says this feed is gone for good", "it is fetched no more, its lots stay", "remove the source"),
    "busy": Said("asks to wait ({status})", f"it is left alone until {{until:%d %b %H:%M}} UTC, {KEPT}"),
    "turned away": Said("answers {status}{meaning}", KEPT, "{cure}"),
    "nothing came": Said("broke off before anything came", KEPT, LATER),
    "broke off": Said("broke off after {size:,} bytes", "what came is read, missing lots have not ended", LATER),
    "too large": Said("sends more than {megabytes} MB", NONE_TAKEN, "ask for a shorter feed"),
    "unknown encoding": Said("sends its answer in an encoding that is not read ({name})", NONE_TAKEN, LATER),
    "many parts": Said("sends an answer packed in too many parts", NONE_TAKEN, LATER),
    "damaged": Said("sends a damaged answer", NONE_TAKEN, LATER),
    "no file": Said("does not exist", KEPT, PATH),
    "no plain file": Said("is not a plain file", KEPT, PATH),
    "unreadable file": Said("cannot be read ({said})", KEPT, PATH),
    "large file": Said("is larger than {megabytes} MB", NONE_TAKEN, "split it"),
    "web page": Said(
        "sent a web page, not a feed (a login page?)", NOT_TAKEN, "open the address in a browser and check it"
    ),
    "page with feeds": Said(
        "sent a web page, not a feed; it links to {count} of them",
        NOT_TAKEN,
        "`watchlist source find ADDRESS` lists them: add the one you want",
    ),
    "empty": Said("sent nothing", KEPT, "check the address, or try again later"),
    "hostile": Said("is refused because {why}", NOT_TAKEN, "ask who runs it"),
    "other xml": Said("is XML (`{root}`), but neither RSS nor Atom", NOT_TAKEN, ADDRESS),
    "no xml": Said("is not well-formed XML, but neither RSS nor Atom", NOT_TAKEN, ADDRESS),
    "beyond mending": Said("is not well formed ({why}) and no entry could be read", NOT_TAKEN, ADDRESS),
    "mended": Said("not well formed ({why}; the entries were read one by one)", "nothing is lost"),
    "one by one": Said("the entries were read one by one, for {why}", "nothing else is lost"),
    "part mended": Said(f"not well formed ({{why}}; the entries were read one by one): {PARTIAL}"),
    "cut off": Said(f"not well formed ({{why}}; the end is missing): {PARTIAL}"),
    "deep json": Said("is JSON nested too deep", NOT_TAKEN, ADDRESS),
    "no list": Said("is JSON without a list of items", NOT_TAKEN, ADDRESS),
    "part json": Said(
        "broken off or not well formed: {entries} entries could be read, the rest may be missing (partial)"
    ),
    "no rows": Said("holds no rows", NOT_TAKEN, "check the address or the file"),
    "no title column": Said(
        "has no column for the title (headings seen: {seen})",
        NOT_TAKEN,
        "`watchlist source map {source} title=HEADING` names it",
    ),
    "title by cells": Said(
        "no heading of a title is known; `{heading}` is read as the title, for coins stand in its cells",
        do="`watchlist source map {source} title=HEADING` names another",
    ),
    "many lines": Said("only the first {lines:,} lines were read, the rest was not (partial)", do="split the list"),
    "line": Said("{note}"),
    "no entries": Said("holds no entries", KEPT),
    "time up": Said("{left} entries take too long to read now and are left for the next gather"),
    "more": Said("and {more} more problems like these"),
    "repeat": Said("repeats {earlier} and counts once"),
    "same id": Said("has the id of {earlier} and other content", "it is kept as {name}"),
    "no object": Said("is not an object with names and values and was rejected"),
    "untitled object": Said("has neither title nor text and was rejected"),
    "untitled item": Said("has neither title nor description and was rejected"),
    "untitled row": Said("has no title and was rejected"),
    "broken item": Said("is not well formed and was rejected", "the other entries stand"),
    "refused item": Said("was rejected: {why}", "the other entries stand"),
    "no figure": Said("the {field} `{text}` is not a number", WITHOUT),
    "no amount": Said("{why}", WITHOUT),
    "no time": Said("the closing time `{text}` cannot be read ({why})", "the lot is kept without its closing time"),
}
STATUSES = {401: " (a login is needed)", 403: " (access refused)", 404: " (no such page)"}
ITS_FAULT = " (a fault on its side)"


def trouble_line(trouble: Trouble) -> str:
    """A trouble with its source and place: `Lindmoor, entry 3: repeats entry 1 and counts once`."""
    where = ", ".join(filter(None, (trouble.source, trouble.place)))
    return f"{where}: {sentence(trouble)}"


def sentence(trouble: Trouble) -> str:
    """A trouble without its source and place: what happened, what stays true, what to do."""
    facts = _facts(trouble)
    rest = (part.format_map(facts) for part in SAID[trouble.kind][1:] if part)
    return "; ".join((what(trouble), *rest))


def what(trouble: Trouble) -> str:
    """Only what happened."""
    said = SAID[trouble.kind].what.format_map(_facts(trouble))
    return f"{trouble.who} {said}" if trouble.who else said


def _facts(trouble: Trouble) -> Mapping[str, object]:
    """The facts, with what a status of HTTP means and what can be done about it."""
    facts = {"source": trouble.source or "NAME", **trouble.facts}
    status = facts.get("status")
    if not isinstance(status, int):
        return facts
    at_fault = status >= 500
    meaning = ITS_FAULT if at_fault else STATUSES.get(status, "")
    return {**facts, "meaning": meaning, "cure": LATER if at_fault else ADDRESS}
