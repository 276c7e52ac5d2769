"""Which of like questions an answer means: the faces of a part, the closing tests, the gaps."""

from __future__ import annotations

from collections.abc import Iterator

from bot.dialogue.listening import Listening
from bot.domain.checklist import Question
from bot.hearing.network import Match

FACES = ("face=this side", "face=other side", "face=both sides")
"""Tags; the face that a question is about goes without saying: "Sign, other side: missing"."""

_PARTS_TOO = ("leaf", "frame", "door", "lock", "latch", "glass", "jamb")
"""Answers about what a door is that may as well be the name of a part: "double leaf", "solid door"."""
_SAID_AS_NUMBERS = ("choice.rating", "choice.leaves")


def says_which(question: Question, match: Match) -> bool:
    """Whether the words tell this question from its twin: "other side", "from fifteen degrees", "bottom gap"."""
    return (question.side == "beyond" and "face=other side" in match.tags) or which_of(match.tags) == question.key


def which_of(tags: tuple[str, ...]) -> str | None:
    """The one of two like questions that the words name; "" where they name both."""
    named = {tag.removeprefix("which=") for tag in tags if tag.startswith("which=")}
    return (named.pop() if len(named) == 1 else "") if named else None


def first_of_each_part(now: Listening, done: set[str | None]) -> Iterator[Question]:
    """Of questions with the same part and the same answers (both faces, both closing tests) the first unanswered one,
    and those answered in this breath, which may be added to."""
    offered: set[tuple[str, str]] = set()
    for question in now.asked:
        kind = (question.component, question.says)
        if question.key in done:
            yield question
        elif kind not in offered:
            offered.add(kind)
            yield question


def sides(question: Question, tags: tuple[str, ...], now: Listening) -> tuple[Question, ...]:
    """Both faces at once when the words say so, or the face they name; else the question itself. None when they name
    a face that is not asked about."""
    which = which_of(tags)
    if which is not None:
        return tuple(other for other in now.asked if other.key == which and other.component == question.component)
    if question.side is None:
        return (question,)
    twins = [other for other in now.asked if other.component == question.component and other.side]
    if "face=both sides" in tags:
        return tuple(sorted(twins, key=lambda twin: twin.side == "beyond"))
    if "face=other side" in tags and question.side == "here":
        return tuple(twin for twin in twins if twin.side == "beyond")
    return (question,)


def goes_without_name(question: Question, words: tuple[str, ...], done: set[str | None], now: Listening) -> bool:
    """Whether these words may answer a question that is not asked, only since another of its part was answered in the
    same breath: "three, all tight". "Leaf" may mean a part, and "nine two six" is one number: a number goes to the next
    question and no further, and one of a single word not even there, but as "thirty" or "one leaf" are said."""
    lone = len(words) == 1
    if question.component != "register":
        return question.kind not in ("measure", "count")
    if lone and (words[0] in _PARTS_TOO or question.kind in ("measure", "count")):
        return False
    numbers = question.kind in ("measure", "count") or (lone and question.says in _SAID_AS_NUMBERS)
    return not numbers or _next(question, done, now)


def _next(question: Question, done: set[str | None], now: Listening) -> bool:
    """Whether a question of the register follows straight on the last one answered in this breath."""
    of_part = [each for each in now.asked if each.component == question.component]
    places = [place for place, each in enumerate(of_part) if each.key in done]
    return bool(places) and of_part[max(places) + 1 : max(places) + 2] == [question]
