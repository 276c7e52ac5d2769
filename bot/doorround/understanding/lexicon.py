"""The lexicon of a part: phrases and their senses.

A part's own phrase takes precedence over a general one, and a longer phrase over a shorter one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from doorround.understanding.word_data import fault_name
from doorround.understanding.words_of_text import Token, stems_of, tokens_of


class Role(Enum):
    """Function of a phrase in a text."""

    FAULT = "fault"
    GOOD = "good"
    CHOICE = "choice"
    PART = "part"
    NEGATION = "negation"
    EXCEPTION = "exception"
    CONTRAST = "contrast"
    DOUBT = "doubt"
    HEDGE = "hedge"
    PAST = "past"
    MENDED = "mended"
    CANNOT = "cannot"
    PREPOSITION = "preposition"
    PLACE = "place"
    OR = "or"
    TALK = "talk"
    NUMBER = "number"
    MINOR = "minor"
    ABSENT = "absent"
    FILLER = "filler"
    SCENE = "scene"
    ELSEWHERE = "elsewhere"
    UNKNOWN = "unknown"


# Cost of a phrase by role: the cheapest segmentation wins.
_WEIGHTS = dict.fromkeys(Role, 1.03) | {
    **dict.fromkeys((Role.CHOICE, Role.FAULT, Role.CANNOT, Role.TALK, Role.MINOR), 1.0),
    **dict.fromkeys((Role.GOOD, Role.EXCEPTION, Role.MENDED), 1.01),
    **dict.fromkeys((Role.PART, Role.PLACE, Role.NUMBER), 1.05),
    Role.PREPOSITION: 1.08,
    Role.FILLER: 1.1,
    Role.SCENE: 1.2,
    Role.ELSEWHERE: 1.5,
    Role.UNKNOWN: 20.0,
}
_LOOSE = (Role.FAULT, Role.GOOD, Role.CANNOT, Role.CHOICE, Role.MINOR)
"""Roles whose phrases may contain further small words: "spring gone", "spring has gone"."""
_AS_WRITTEN = (Role.MENDED, Role.EXCEPTION)
"""Roles whose phrases must be said in that very form."""
_SMALL = frozenset(["is", "are", "has", "have", "been", "the", "a", "an", "it", "all", "its"])
MAX_PHRASE = 9
"""Maximum words in a phrase."""


@dataclass(frozen=True)
class Sense:
    """Meaning of one phrase.

    key: for a fault, its name in the checklist (`own`) or its sense; else what is good, the part
    ("glass.bead"), the reason for not checking, or the value chosen.
    """

    role: Role
    key: str = ""
    own: bool = False


_UNKNOWN = Sense(Role.UNKNOWN)


@dataclass(frozen=True)
class Item:
    """A phrase found in a text. start, end: token positions; sign: punctuation before it."""

    sense: Sense
    words: str
    sign: str
    start: int
    end: int


class Lexicon:
    """The phrases known at one question, assembled by `phrase_layers.py`."""

    def __init__(self, phrases: Iterable[tuple[str, Sense]], component: str = "") -> None:
        """component: the one whose faults the senses are; "" for none."""
        self._component = component
        self._phrases: dict[tuple[str, ...], Sense] = {}
        self._loose: dict[tuple[str, ...], Sense] = {}
        self._ambiguous: set[tuple[str, ...]] = set()
        self._written: set[tuple[str, ...]] = set()
        words: set[str] = set()
        for phrase, sense in phrases:
            stems = stems_of(phrase)
            if sense.role in _AS_WRITTEN:
                self._written.add(tuple(token.text for token in tokens_of(phrase)))
            if self._unlike(self._phrases.setdefault(stems, sense), sense):
                self._ambiguous.add(stems)
            if len(bare := _bare(stems)) > 1 and sense.role in _LOOSE:
                self._loose.setdefault(bare, sense)
            words.update(token.text for token in tokens_of(phrase))
        self.vocabulary = frozenset(words)

    def _unlike(self, first: Sense, sense: Sense) -> bool:
        """Whether a fault's phrase also has another sense of equal rank."""
        if first.role is not Role.FAULT or sense.role is not Role.FAULT:
            return first.role is Role.FAULT and sense.role is Role.GOOD
        if first.own != sense.own:
            return False
        names = [
            each.key if each.own else fault_name(self._component, each.key)
            for each in (first, sense)
        ]
        return all(names) and names[0] != names[1]

    def ambiguous(self, item: Item) -> bool:
        """Whether the words of a fault may also mean something sound ("catches") or another fault
        ("hangs open").
        """
        return stems_of(item.words) in self._ambiguous

    def keys(self, role: Role) -> set[str]:
        """Keys of the phrases with this role."""
        return {sense.key for sense in self._phrases.values() if sense.role is role}

    def items(self, tokens: Sequence[Token]) -> tuple[Item, ...]:
        """Segment the tokens into phrases; unknown tokens become items too."""
        best: list[tuple[float, int, Sense]] = [(0.0, 0, _UNKNOWN)]
        for end in range(1, len(tokens) + 1):
            ways = [
                (best[start][0] + _WEIGHTS[sense.role], start, sense)
                for start, sense in self._ending(tokens, end)
            ]
            best.append(min(ways, key=lambda way: way[0]))
        found: list[Item] = []
        end = len(tokens)
        while end:
            _, start, sense = best[end]
            words = " ".join(token.text for token in tokens[start:end])
            found.append(Item(sense, words, tokens[start].sign, start, end))
            end = start
        return tuple(reversed(found))

    def _ending(self, tokens: Sequence[Token], end: int) -> Iterator[tuple[int, Sense]]:
        for start in range(max(0, end - MAX_PHRASE), end):
            if any(token.sign for token in tokens[start + 1 : end]):
                continue
            stems = tuple(token.stem for token in tokens[start:end])
            sense = self._phrases.get(stems)
            if sense and sense.role in _AS_WRITTEN and not self._is_written(tokens[start:end]):
                continue
            if sense:
                yield start, sense
            elif stems[0] not in _SMALL and stems[-1] not in _SMALL:
                sense = self._loose.get(_bare(stems))
                yield from ((start, each) for each in (sense,) if each)
        yield end - 1, _UNKNOWN

    def _is_written(self, tokens: Sequence[Token]) -> bool:
        """Whether the words are as in the phrase: "glued it", not "glue"; "bar", not "bare"."""
        return tuple(token.text for token in tokens) in self._written


def _bare(stems: Sequence[str]) -> tuple[str, ...]:
    return tuple(each for each in stems if each not in _SMALL)
