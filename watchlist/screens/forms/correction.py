"""A reading mended by the person, and the words of its title taught for one source or for all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from watchlist.core.reading.record import TITLE, Reading
from watchlist.core.reading.vocabulary.corrections import TEACHABLE
from watchlist.desk.decisions.correcting import mend, teach
from watchlist.desk.desk import Desk
from watchlist.desk.due import TITLES
from watchlist.desk.errors import DeskError
from watchlist.page.columns import wrap
from watchlist.screens.forms.form import Field, Form
from watchlist.shelf.store.rows import LotRow


class CorrectForm(Form):
    """A reading mended field by field; the lot is marked again, and the words that misled may be taught."""

    TITLE = "Correct"

    def __init__(self, row: LotRow) -> None:
        self._row, self._before = row, _values(row.reading)
        super().__init__(
            [Field(name, _resting(row.reading, name), value) for name, value in self._before.items()], about=row.lot.key
        )

    def intro(self, width: int) -> list[str]:
        """The title that is being read."""
        return wrap(self._row.lot.title, width)

    def keep(self, typed: Mapping[str, str]) -> None:
        """Only what was changed; then offer to teach it."""
        changes = {name: typed.get(name, "") for name, was in self._before.items() if typed.get(name, "") != was}
        if not changes:
            self.close_form()
            self.program.messages.say("Nothing was changed.")
            return
        row, lessons = self._row, lessons_of(self._row.reading, self._before, changes)

        def job(desk: Desk) -> LotRow:
            return mend(desk, row.lot.key, changes)

        def done(_: LotRow) -> None:
            self.close_form()
            said = f"Corrected {', '.join(changes)}; the lot is marked again."
            self.program.messages.say(f"{said} {OFFER if lessons else ''}")
            if lessons:
                self.program.windows.open("teach form", row, lessons)

        self.program.work.write("Correcting", job, done)


OFFER = "If words of the title misled, teach them here; esc cancels it at this lot."


@dataclass(frozen=True, slots=True)
class Lesson:
    """A value that words of a title can be taught to mean."""

    name: str
    """The field of the reading that was mended."""
    field: str
    """The field to teach: `nothing` where the words mean nothing after all."""
    value: str
    words: str
    """The words that the old value rested on; empty where it rested on none."""


def lessons_of(reading: Reading, before: Mapping[str, str], changes: Mapping[str, str]) -> list[Lesson]:
    """What the changes to a reading could teach: a year nothing, a mint its name; its letter is no word to unlearn."""
    found: list[Lesson] = []
    for name, value in changes.items():
        words = _span(reading, name)
        if value in ("", "no"):
            if words and name != "mint":
                found.append(Lesson(name, "nothing", "", words))
        elif name in ("problems", "designations"):
            known = set(_listed(before[name]))
            found += [Lesson(name, name, each, "") for each in _listed(value) if each not in known][:1]
        elif name in TEACHABLE:
            found.append(Lesson(name, name, value, "" if name == "mint" else words))
    return found


class TeachForm(Form):
    """Words of a title and what they mean: for one source, or for all."""

    TITLE = "Teach"

    def __init__(self, row: LotRow, lessons: Sequence[Lesson]) -> None:
        self._title, self._lessons = row.lot.title, lessons
        words = [Field(each.name, _asked(each)) for each in lessons]
        super().__init__(
            [*words, Field("source", "only in titles of this source; empty: in all", row.lot.source)],
            about=f"{row.lot.key} {', '.join(map(_meaning, lessons))}",
        )

    def intro(self, width: int) -> list[str]:
        """The title that the words stand in."""
        return wrap(self._title, width)

    def keep(self, typed: Mapping[str, str]) -> None:
        """Teach each line that names words."""
        named = [(each, typed.get(each.name, "")) for each in self._lessons if typed.get(each.name)]
        source = typed.get("source", "")
        if not named:
            self.close_form()
            self.program.messages.say("No word was taught.")
            return
        absent = [words for _, words in named if words.casefold() not in self._title.casefold()]
        if absent:
            raise DeskError(f"`{absent[0]}` does not stand in this title. No word was taught.")

        def job(desk: Desk) -> str:
            taught = [(teach(desk, words, each.field, each.value, source), words, each) for each, words in named]
            where = f"in titles of {source}" if source else "in all titles"
            said = "; ".join(f'"{words}" means {_meaning(each)} ({id})' for id, words, each in taught)
            return f"Taught {where}: {said}. `watchlist read --correct drop {taught[0][0]}` takes it back."

        def done(_: str) -> None:
            self.close_form()
            self.program.follow_ups.settle(TITLES, "Reading open lots again")

        self.program.work.write("Teaching", job, done)


def _values(read: Reading) -> dict[str, str]:
    """The fields a person may mend, as text."""
    same = read.grade_low == read.grade_high
    grade = "" if read.grade_low is None else str(read.grade_low) if same else f"{read.grade_low}-{read.grade_high}"
    return {
        "denomination": read.denomination or "",
        "year": str(read.year or ""),
        "mint": read.mint or "",
        "variety": read.variety or "",
        "country": read.country or "",
        "grade": grade,
        "certified": "yes" if read.certified else "no",
        "service": read.service or "",
        "cert_number": read.cert_number or "",
        "problems": ", ".join(read.problems),
        "designations": ", ".join(read.designations),
        "multiple": "yes" if read.multiple else "no",
        "replica": "yes" if read.replica else "no",
    }


def _listed(text: str) -> list[str]:
    return [each.strip() for each in text.split(",") if each.strip()]


def _span(reading: Reading, name: str) -> str:
    """The words of the title that a field rests on."""
    return next(
        (
            span.text
            for span in reading.spans
            if span.end and span.place == TITLE and span.field in (name, f"{name}_low")
        ),
        "",
    )


def _resting(reading: Reading, name: str) -> str:
    words = _span(reading, name)
    return f'read from "{words}"' if words else ""


def _meaning(lesson: Lesson) -> str:
    return "nothing" if lesson.field == "nothing" else f"{lesson.name} {lesson.value}"


def _asked(lesson: Lesson) -> str:
    such = f', such as "{lesson.words}"' if lesson.words else ""
    return f"words of the title that mean {_meaning(lesson)}{such}; empty: teach none"
