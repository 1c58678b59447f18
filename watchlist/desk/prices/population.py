"""Population counts of grading services: kept as they came, a list at a time, and read issue by issue."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date

from watchlist.core.prices.population import Count, Population
from watchlist.desk.changes import Change
from watchlist.desk.desk import Desk

POPULATION = "population"
"""Kind of the finding that holds what one service counted on one day."""


def keep_population(desk: Desk, change: Change, counts: Iterable[Count]) -> None:
    """Keep the counts of a file, by service and day."""
    lists: dict[tuple[str, date], list[Count]] = defaultdict(list)
    for each in counts:
        lists[each.service, each.day].append(each)
    findings = desk.shelf.store.findings
    before = findings.newest()
    for (service, day), rows in lists.items():
        found = [[row.issue, row.grade, row.pieces] for row in rows]
        findings.add(POPULATION, "", desk.now, {"service": service, "day": day.isoformat(), "counts": found})
    change.added("finding", before + 1, findings.newest())


def populations(desk: Desk) -> Mapping[str, tuple[Population, ...]]:
    """By issue: of each service what its latest list says of it. An issue is found under the key that it has today."""
    known: dict[str, dict[str, Population]] = defaultdict(dict)
    for each in desk.shelf.store.findings.of(POPULATION):
        day = date.fromisoformat(each.data["day"])
        grades: dict[str, dict[int, int]] = defaultdict(dict)
        for issue, grade, pieces in each.data["counts"]:
            grades[desk.moved.get(issue, issue)][grade] = pieces
        service = each.data["service"]
        for issue, counted in grades.items():
            before = known[issue].get(service.casefold())
            if sum(counted.values()) and (before is None or before.day <= day):
                known[issue][service.casefold()] = Population(service, day, counted)
    return {issue: tuple(services.values()) for issue, services in known.items()}
