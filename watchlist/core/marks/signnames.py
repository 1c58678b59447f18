"""The signs of a lot that a person may dismiss, and the names that they keep whatever else is seen of it."""

from __future__ import annotations

from itertools import count

from watchlist.core.marks.record import Judgement, Sign


def signs_of(judged: Judgement | None) -> tuple[Sign, ...]:
    """The signs that can be dismissed or restored, in the order of the reasons."""
    if judged is None:
        return ()
    shown = [reason.text for reason in judged.reasons if reason.strength]
    signs = {sign.text: sign for sign in (*judged.doubt.signs, *judged.doubt.dismissed)}
    return tuple(signs[text] for text in shown if text in signs)


def names_of(judged: Judgement | None) -> dict[str, Sign]:
    """The same by name: each its own in the table of signs, with a number where several signs of a lot share one."""
    named: dict[str, Sign] = {}
    for sign in sorted(signs_of(judged), key=lambda each: (each.id, each.text)):
        numbers = (f"{sign.id}{f'-{n}' if n > 1 else ''}" for n in count(1))
        named[next(name for name in numbers if name not in named)] = sign
    return named
