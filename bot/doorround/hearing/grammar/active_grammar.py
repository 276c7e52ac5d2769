"""The phrases accepted at the current point of the talk, and the effect of each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from doorround.domain.costs import Stakes
from doorround.hearing.automata.acceptor import Acceptor
from doorround.hearing.grammar.error_costs import read_costs

MAX_PROMPT = 420
"""Maximum prompt length in characters: about 120 of the 224 tokens that Whisper reads."""


class Polarity(StrEnum):
    """Effect of a phrase on the door's result. Only a PASS can hide a defect."""

    PASS = "pass"
    DEFECT = "defect"
    NEITHER = "neither"


@dataclass(frozen=True)
class PhraseReading:
    """Interpretation of one phrase. gist: equal for phrases with the same meaning. stakes: costs of
    accepting it in error.

    usual: it answers the question; commands and corrections are less frequent. known: it has a
    meaning now; the grammar also generates meaningless combinations. name: it only names a part
    ("hinges"), so it is no answer unless one follows. aside: no part of it concerns the part
    that the question is about.
    """

    polarity: Polarity
    gist: str
    stakes: Stakes
    usual: bool = True
    known: bool = True
    name: bool = False
    aside: bool = False


def plain_reading(phrase: str, polarity: Polarity = Polarity.NEITHER) -> PhraseReading:
    """The default interpretation: the phrase is its own gist."""
    costs = read_costs()
    stakes = {
        Polarity.PASS: costs.passing,
        Polarity.DEFECT: costs.defect,
        Polarity.NEITHER: costs.other,
    }
    return PhraseReading(polarity, phrase, stakes[polarity])


def _nothing(_phrase: str) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True)
class ActiveGrammar:
    """The phrases accepted now, in a form that any engine can use.

    write: returns a self-contained JSGF grammar without imports or tags, with one public rule and
    possibly thousands of phrases.
    short: the usual phrases, most frequent first, at least one for each meaning; some are always
    given to the second engine.
    read: interprets any phrase of the grammar.
    key: equal for equal grammars. acceptor: the compiled grammar, where that is quicker than
    parsing its text.
    alike: whether many phrases sound alike, as door numbers do.
    elsewhere: returns the answers to other questions that sound like a phrase but are not accepted
    now.
    """

    key: str
    short: tuple[str, ...]
    write: Callable[[], str] = field(compare=False)
    read: Callable[[str], PhraseReading] = plain_reading
    acceptor: Callable[[], Acceptor] | None = field(default=None, compare=False)
    alike: bool = field(default=False, compare=False)
    elsewhere: Callable[[str], Sequence[str]] = field(default=_nothing, compare=False)

    @cached_property
    def jsgf(self) -> str:
        """The grammar as text, written on demand because writing it is the slowest step."""
        return self.write()

    @cached_property
    def prompt(self) -> str:
        """Answers accepted now, most frequent first, as a prompt for the decoder to continue."""
        found = ""
        for phrase in self.short:
            longer = f"{found}, {phrase}" if found else phrase
            if self.read(phrase).usual and len(longer) <= MAX_PROMPT:
                found = longer
        return found

    def polarity(self, phrase: str) -> Polarity:
        """Whether a phrase would pass the door, report a defect, or neither."""
        return self.read(phrase).polarity
