"""Answers to a question that have opposite meanings but sound alike; exhaustive, not a sample.

Each phrase that would pass a part is compared with the whole language of that question's faults.
Both may follow the part's name, which is the same for both and left out, or "is" or "are", which
is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache, cached_property

from doorround.domain.checklist import Checklist, Question
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.confusable_rules import READ_BACK, ConfusablePair, Rules
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.grammar.pass_fail_acceptors import (
    after,
    choices,
    either,
    faults,
    listed,
    passes,
    read_back,
)
from doorround.hearing.lexicon.distance_table import Sounds
from doorround.hearing.lexicon.phone_distance import Ways, distances, nearest, sounds_of, within

PLAIN_COMMANDS = " | ".join(
    f"<always.{name}>"
    for name in [
        "repeat",
        "play",
        "back",
        "skip",
        "help",
        "options",
        "undo",
        "pause",
        "resume",
        "finish",
        "cancel",
        "note",
    ]
)
"""Commands that neither name a part nor pass one."""


class ConfusablePairs:
    """The confusable pairs of one checklist. ways: pronunciations of a word."""

    def __init__(self, checklist: Checklist, grammar_set: GrammarSet, ways: Ways) -> None:
        self._checklist = checklist
        self._grammar_set = grammar_set
        self._ways = cache(ways)
        self.rules = Rules.read()
        self._faults: dict[str, Sounds | None] = {}

    def failures(
        self, question: Question, said: Sequence[str] | None = None
    ) -> list[ConfusablePair]:
        """All pairs of opposite meaning closer than `least`, allowed or not, closest first. Exact.

        said: passes to compare instead of those of the question.
        """
        sounds = self._sounds(question)
        said = passes(question, self._grammar_set) if said is None else tuple(said)
        return self._close(question.key, said, sounds) if sounds and said else []

    def failures_at_read_back(self) -> list[ConfusablePair]:
        """As `failures`, for yes and no after a read-back, where a fault may replace "no"."""
        return self._close(READ_BACK, *self._read_back)

    def _close(self, key: str, said: tuple[str, ...], sounds: Sounds) -> list[ConfusablePair]:
        far = distances(said, sounds, self._ways)
        close = [
            phrase for phrase, apart in zip(said, far, strict=True) if apart < self.rules.least
        ]
        pairs = [pair for phrase in close for pair in self._all_near(phrase, key, sounds)]
        return sorted(pairs, key=lambda pair: (pair.distance, pair.one, pair.other))

    def too_near(
        self, question: Question, phrase: str, polarity: Polarity
    ) -> ConfusablePair | None:
        """The closest pair that is not allowed, if the answer is too close to one of opposite
        meaning: a pass is compared with the faults, a fault with the passes and with yes. None if
        there is no such pair, or the answer is neither a pass nor a fault.
        """
        if polarity is Polarity.PASS:
            sounds = self._sounds(question)
            close = list(self._all_near(phrase, question.key, sounds)) if sounds else []
        elif polarity is Polarity.DEFECT:
            sounds = sounds_of(after(self._link, listed([phrase])), self._ways)
            close = self._close(
                question.key,
                (*passes(question, self._grammar_set), *read_back(self._grammar_set)[0]),
                sounds,
            )
        else:
            return None
        failing = [pair for pair in close if not pair.allowed]
        return min(failing, key=lambda pair: pair.distance) if failing else None

    def worst(self, question: Question, most: int = 5) -> list[ConfusablePair]:
        """The closest pairs of a question, one for each phrase: of opposite meaning, or for a
        choice of different meaning.
        """
        if question.kind == "choice":
            return sorted(
                self._apart(question.key, choices(question, self._grammar_set)),
                key=lambda pair: pair.distance,
            )[:most]
        sounds = self._sounds(question)
        said = passes(question, self._grammar_set)
        return self._worst(question.key, said, sounds, most) if sounds and said else []

    def worst_elsewhere(self, most: int = 5) -> dict[str, list[ConfusablePair]]:
        """As `worst`, for read-backs, for commands against all passes, and for numbers."""
        grammar_set = self._grammar_set
        all_pass = {
            phrase
            for each in self._checklist.question
            for phrase in passes(each, self._grammar_set)
        }
        commands = sounds_of(grammar_set.automaton_of(PLAIN_COMMANDS), self._ways)
        numbers = {
            phrase: (phrase,)
            for phrase in grammar_set.phrases("number.below_hundred")
            if " " not in phrase
        }
        return {
            READ_BACK: self._worst(READ_BACK, *self._read_back, most),
            "commands": self._worst(
                "commands", tuple(sorted(all_pass)), commands, most, opposite=False
            ),
            "numbers": sorted(self._apart("numbers", numbers), key=lambda pair: pair.distance)[
                :most
            ],
        }

    def _worst(
        self, key: str, said: tuple[str, ...], sounds: Sounds, most: int, opposite: bool = True
    ) -> list[ConfusablePair]:
        far = distances(said, sounds, self._ways)
        order = sorted(range(len(said)), key=lambda place: (far[place], said[place]))
        return [self._pair(key, said[place], sounds, opposite) for place in order[:most]]

    def _all_near(self, phrase: str, key: str, sounds: Sounds) -> Iterator[ConfusablePair]:
        for near in within(phrase, sounds, self._ways, self.rules.least):
            if near.distance < self.rules.least:
                allowed = self.rules.allows(phrase, near.phrase)
                yield ConfusablePair(key, phrase, near.phrase, near.distance, True, allowed)

    def _pair(self, key: str, phrase: str, sounds: Sounds, opposite: bool) -> ConfusablePair:
        near = nearest(phrase, sounds, self._ways)
        return ConfusablePair(
            key,
            phrase,
            near.phrase,
            near.distance,
            opposite,
            self.rules.allows(phrase, near.phrase),
        )

    def _apart(self, key: str, chosen: Mapping[str, Sequence[str]]) -> Iterator[ConfusablePair]:
        """Compare each phrase with all phrases of a different choice."""
        for name, phrases in chosen.items():
            others = [
                said
                for other, each in chosen.items()
                if other != name
                for said in each
                if said not in phrases
            ]
            sounds = sounds_of(listed(others), self._ways)
            yield from (self._pair(key, phrase, sounds, opposite=False) for phrase in phrases)

    @cached_property
    def _read_back(self) -> tuple[tuple[str, ...], Sounds]:
        wrong = [
            each
            for question in self._checklist.question
            if (each := faults(question, self._grammar_set))
        ]
        yes, no = read_back(self._grammar_set)
        return yes, sounds_of(either(listed(no), *dict.fromkeys(wrong)), self._ways)

    def _sounds(self, question: Question) -> Sounds | None:
        """Phones of a question's faults, bare or after "is" or "are"."""
        if question.says not in self._faults:
            wrong = faults(question, self._grammar_set)
            linked = after(self._link, wrong) if wrong else None
            self._faults[question.says] = sounds_of(linked, self._ways) if linked else None
        return self._faults[question.says]

    @cached_property
    def _link(self) -> Automaton:
        """As in the engines' grammar: see Utterances."""
        return self._grammar_set.automaton_of("[is | are]")
