"""What is scored beside a phrase that fits best, for it to be judged: what denies it, what it may
be cut from, and words that are no answer.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from doorround.english.denials import BEFORE_PLACE, EXCEPTING
from doorround.english.fillers import DECOYS, LOST_OPENINGS
from doorround.english.units import UNIT_WORDS
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.denials import denials, unsaid
from doorround.hearing.grammar.phrase_numbers import numbers_in
from doorround.hearing.lexicon.g2p import first_way
from doorround.hearing.lexicon.phone_distance import distance

MAX_DENIALS = 8
"""A pass is always held against what denies it, however badly that began: in pink noise of 5 dB
both engines heard "doesn't touch the floor" as "touches the floor" with 1.00.
"""

SAID_ALIKE = 0.2
"""Phones apart, see phone_costs.toml, under which two phrases are one as many people say them:
"three" and "free" are 0.1. Two synthetic voices' "three" fitted "free" better by 2 and 3.4 nats and
was asked for again at questions of which nobody answers "free".
"""


@dataclass(frozen=True)
class Competitors:
    """against: faults that deny a pass. bare: denials that are no answer. shorter: the phrase
    without its first words or its last, where that is no answer. elsewhere: answers to other
    questions. decoys: no answers.
    """

    against: tuple[str, ...]
    bare: tuple[str, ...]
    shorter: tuple[str, ...]
    elsewhere: tuple[str, ...]
    decoys: tuple[str, ...]

    @property
    def all(self) -> list[str]:
        """All of them."""
        return list(
            dict.fromkeys((*self.against, *self.bare, *self.shorter, *self.elsewhere, *self.decoys))
        )


def competitors_of(best: str, grammar: ActiveGrammar, known: Collection[str] = ()) -> Competitors:
    """What is to be scored beside the best. known: phrases that are scored already."""
    known = {best, *known}
    shorter = tuple(phrase for phrase in _shortened(best, grammar) if phrase not in known)
    decoys = tuple(word for word in DECOYS if word not in known)
    elsewhere = tuple(phrase for phrase in _elsewhere(best, grammar) if phrase not in known)
    return Competitors(
        _against(best, known, grammar), _unsaid(best, known, grammar), shorter, elsewhere, decoys
    )


def _elsewhere(best: str, grammar: ActiveGrammar) -> Sequence[str]:
    """Only what passes a part or names a fault is held against other answers: a command is seen at
    once. A number is not held against a word as which many say it.
    """
    if grammar.polarity(best) is Polarity.NEITHER:
        return ()
    number = bool(numbers_in(best))
    return tuple(
        phrase
        for phrase in grammar.elsewhere(best)
        if not (number and distance(phrase, best, first_way) <= SAID_ALIKE)
    )


def _unsaid(best: str, known: Collection[str], grammar: ActiveGrammar) -> tuple[str, ...]:
    return tuple(phrase for phrase in unsaid(best, grammar) if phrase not in known)


def _against(best: str, known: Collection[str], grammar: ActiveGrammar) -> tuple[str, ...]:
    if grammar.polarity(best) is not Polarity.PASS:
        return ()
    turned = (phrase for phrase in denials(best, grammar) if phrase not in known)
    return tuple(phrase for phrase in turned if grammar.polarity(phrase) is Polarity.DEFECT)[
        :MAX_DENIALS
    ]


def _shortened(best: str, grammar: ActiveGrammar) -> list[str]:
    """A pass or a fault without its first words, or its last, where the rest means nothing here:
    said elsewhere, "right and readable" was heard as "notice right and readable", and passed the
    sign; "damaged hinge", cut short, was heard as "damaged hinge okay", and "meeting edges three
    four" got a third gap of one millimetre.

    Tuning half's voices: none of 972 right phrases, clean and in noise, fits worse than itself
    without its end; of 217 phrases cut short, clean, 192 do, and enter nothing.
    """
    words = best.split()
    if grammar.polarity(best) is Polarity.NEITHER:
        return []
    rests: list[str] = []
    for count in (1, 2)[: len(words) - 1]:
        if not LOST_OPENINGS.issuperset(words[:count]):
            rests.append(" ".join(words[count:]))
        if not UNIT_WORDS.issuperset(words[-count:]):
            rests.append(" ".join(words[:-count]))
    rests += _excepting(words)
    return [rest for rest in dict.fromkeys(rests) if not grammar.read(rest).known]


def _excepting(words: Sequence[str]) -> Iterator[str]:
    """The same with an exception where a place is named: "a quarter of an inch, bar the bottom" was
    heard as "at the bottom", with 1.00.
    """
    for place, word in enumerate(words[1:-1], 1):
        if word in BEFORE_PLACE:
            for exception in EXCEPTING:
                yield " ".join((*words[:place], exception, *words[place + 1 :]))
