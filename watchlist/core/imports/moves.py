"""Where the sales of an issue go when a catalogue comes: to the same piece under the catalogue's own key."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.imports.coin import Coin, resolve, series_known
from watchlist.core.imports.spelling import Joins, Likeness, joined, like_country, like_denomination, like_mint

Parts = tuple[str, str, int, str, str]


def moves_of(before: Catalogue, new: Sequence[Issue], joins: Joins) -> dict[str, str]:
    """Old key to new: an issue that only prices or wants named is now listed, or a listed one has another key.

    Two issues of one catalogue that only their type tells apart stay as they are."""
    keys = {issue.key for issue in new}
    after = Catalogue([*(issue for issue in before if not issue.implied and issue.key not in keys), *new], before.words)
    found = {issue.key: key for issue in before if issue.implied and (key := _listed(issue, after, joins))}
    return found | _renamed(before, new, keys)


def like_listed(catalogue: Catalogue, issue: Issue) -> Likeness | None:
    """The listed country, denomination or mint that an issue in no catalogue may be meant for."""
    if like := like_country(catalogue, issue.country):
        return like
    if series_known(catalogue, coin_of(issue)):
        return like_mint(catalogue, issue.country, issue.denomination, issue.mint)
    return like_denomination(catalogue, issue.country, issue.denomination)


def coin_of(issue: Issue) -> Coin:
    """What tells an issue from others, as the cells of a row would."""
    return Coin(issue.country, issue.denomination, issue.year, issue.mint, issue.variety or None)


def _listed(issue: Issue, catalogue: Catalogue, joins: Joins) -> str:
    """The key of the one listed issue that an implied one is; empty for none."""
    coin = Coin(
        joined(joins, "country", issue.country),
        joined(joins, "denomination", issue.denomination),
        issue.year,
        joined(joins, "mint", issue.mint),
        issue.variety or None,
    )
    found = resolve(catalogue, coin)
    return found.key if isinstance(found, Issue) and found.key != issue.key else ""


def _renamed(before: Catalogue, new: Sequence[Issue], keys: set[str]) -> dict[str, str]:
    """Listed issues that this catalogue lists under a key that nobody had."""
    fresh: dict[Parts, list[Issue]] = defaultdict(list)
    for issue in new:
        if issue.key not in before.by_key:
            fresh[parts(issue)].append(issue)
    moves = {}
    for issue in before:
        if issue.implied or issue.key in keys:
            continue
        same = [each for each in fresh.get(parts(issue), ()) if _one_type(issue, each)]
        if len(same) == 1:
            moves[issue.key] = same[0].key
    return moves


def parts(issue: Issue) -> Parts:
    """What tells an issue from the others of a catalogue, but for its key and its type."""
    country, variety = bare_words(issue.country), bare_words(issue.variety)
    return (country, issue.denomination, issue.year, issue.mint.casefold(), variety)


def _one_type(one: Issue, other: Issue) -> bool:
    return not one.type or not other.type or bare_words(one.type) == bare_words(other.type)
