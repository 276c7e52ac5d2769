"""Which answers of opposite meaning sound alike at a question: over all that may be said there, not
a sample.

A phrase that would pass a part is held against the whole language of that question's faults. Both
may come after the part's name, which is the same for both and left out, and after "is" or "are",
which is not.
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
"""Commands that name no part and pass none."""


class ConfusablePairs:
    """The pairs of one checklist. ways: how each word is said."""

    def __init__(self, checklist: Checklist, grammar_set: GrammarSet, ways: Ways) -> None:
        self._checklist = checklist
        self._grammar_set = grammar_set
        self._ways = cache(ways)
        self.rules = Rules.read()
        self._faults: dict[str, Sounds | None] = {}

    def failures(
        self, question: Question, said: Sequence[str] | None = None
    ) -> list[ConfusablePair]:
        """Every pair of opposite meaning nearer than the least, allowed or not, nearest first.
        Exact.

        said: passes, where not those of the question are meant.
        """
        sounds = self._sounds(question)
        said = passes(question, self._grammar_set) if said is None else tuple(said)
        return self._close(question.key, said, sounds) if sounds and said else []

    def failures_at_read_back(self) -> list[ConfusablePair]:
        """The same of yes and no when an answer was read back, where a fault may be said instead of
        "no".
        """
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
        """What an answer to a question is too near to: a pass to its faults, a fault to its passes
        and to yes. The nearest pair that is not allowed; None where there is none, or the answer is
        neither.
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
        """The nearest pairs of a question, one a phrase: of opposite meaning, for a choice of
        another meaning.
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
        """The same for a read-back; for commands against all that passes anything; and for
        numbers.
        """
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
        """Each phrase against all phrases for something else."""
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
        """The faults of a question, bare or after "is" or "are", as phones."""
        if question.says not in self._faults:
            wrong = faults(question, self._grammar_set)
            linked = after(self._link, wrong) if wrong else None
            self._faults[question.says] = sounds_of(linked, self._ways) if linked else None
        return self._faults[question.says]

    @cached_property
    def _link(self) -> Automaton:
        """As the engines listen for it: see Utterances."""
        return self._grammar_set.automaton_of("[is | are]")
