"""Answers kept of a slow question."""

from __future__ import annotations

import pytest

from watchlist.core.reading.vocabulary import memo


def test_a_question_is_asked_once_until_there_are_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(memo, "MOST", 2)
    asked: list[str] = []

    def letters(word: str) -> int:
        asked.append(word)
        return len(word)

    answers = memo.Memo(letters)
    assert [answers[word] for word in ("tor", "tor", "lind", "tor")] == [3, 3, 4, 3]
    assert asked == ["tor", "lind"]
    assert answers["ducat"] == 5
    assert list(answers) == ["ducat"]
