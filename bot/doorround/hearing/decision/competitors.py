"""Competitors of the best phrase: its negations, phrases without its first or last words, answers
to other questions and decoys.
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
"""Maximum number of negations scored against a pass, even those that the search pruned: in pink
noise at 5 dB both engines recognised "doesn't touch the floor" as "touches the floor" with 1.00.
"""

SAID_ALIKE = 0.2
"""Distance in phones, see phone_costs.toml, up to which many people pronounce two phrases alike:
"three" and "free" are 0.1 apart. The "three" of two synthetic voices fitted "free" better by 2 and
3.4 nats and was asked for again at questions that nobody answers with "free".
"""


@dataclass(frozen=True)
class Competitors:
    """against: faults that negate a pass. bare: negations that are no answer. shorter: the phrase
    without its first or last words, if that is no answer. elsewhere: answers to other questions.
    decoys: words that are no answer.
    """

    against: tuple[str, ...]
    bare: tuple[str, ...]
    shorter: tuple[str, ...]
    elsewhere: tuple[str, ...]
    decoys: tuple[str, ...]

    @property
    def all(self) -> list[str]:
        """All competitors, each once."""
        return list(
            dict.fromkeys((*self.against, *self.bare, *self.shorter, *self.elsewhere, *self.decoys))
        )


def competitors_of(best: str, grammar: ActiveGrammar, known: Collection[str] = ()) -> Competitors:
    """Competitors of the best phrase. known: phrases scored already."""
    known = {best, *known}
    shorter = tuple(phrase for phrase in _shortened(best, grammar) if phrase not in known)
    decoys = tuple(word for word in DECOYS if word not in known)
    elsewhere = tuple(phrase for phrase in _elsewhere(best, grammar) if phrase not in known)
    return Competitors(
        _against(best, known, grammar), _unsaid(best, known, grammar), shorter, elsewhere, decoys
    )


def _elsewhere(best: str, grammar: ActiveGrammar) -> Sequence[str]:
    """Answers to other questions that sound alike. None for a command, where an error is noticed at
    once, and for a number no word that many people pronounce like it.
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
    """A pass or fault without its first or last words, if the rest means nothing here. At another
    question, "right and readable" was recognised as "notice right and readable" and passed the
    sign; "damaged hinge", cut short, as "damaged hinge okay"; and "meeting edges three four" got a
    third gap of one millimetre.

    Voices of the tuning half: none of 972 correct phrases, clean and in noise, fits worse than
    itself without its end; of 217 phrases cut short, clean, 192 do, and enter nothing.
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
    """The phrase with an exception at a place: "a quarter of an inch, bar the bottom" was
    recognised as "at the bottom", with 1.00.
    """
    for place, word in enumerate(words[1:-1], 1):
        if word in BEFORE_PLACE:
            for exception in EXCEPTING:
                yield " ".join((*words[:place], exception, *words[place + 1 :]))
