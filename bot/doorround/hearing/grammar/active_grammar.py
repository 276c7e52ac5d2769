"""The phrases that may be said now, and what each of them would do."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from doorround.domain.costs import Stakes
from doorround.hearing.automata.acceptor import Acceptor
from doorround.hearing.grammar.error_costs import read_costs

MAX_PROMPT = 420
"""Letters of a prompt: some 120 tokens, of the 224 that Whisper reads."""


class Polarity(StrEnum):
    """What a phrase would mean for the door: only a PASS can hide a defect."""

    PASS = "pass"
    DEFECT = "defect"
    NEITHER = "neither"


@dataclass(frozen=True)
class PhraseReading:
    """What a phrase comes to. gist: the same for phrases that mean the same. stakes: of taking it
    wrongly.

    usual: whether it answers the question; commands and corrections are said more seldom. known:
    whether it means anything now; a grammar joins words that mean nothing together. name: it only
    names a part, "hinges": no answer, unless one follows. aside: nothing of it is of the part that
    is asked about.
    """

    polarity: Polarity
    gist: str
    stakes: Stakes
    usual: bool = True
    known: bool = True
    name: bool = False
    aside: bool = False


def plain_reading(phrase: str, polarity: Polarity = Polarity.NEITHER) -> PhraseReading:
    """A phrase that means itself."""
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
    """The phrases that may be said now, ready for any engine.

    write: gives one self-contained JSGF grammar without imports or tags, one public rule, maybe
    thousands of phrases.
    short: its usual phrases, most usual first, at least one a meaning: some are always put to the
    second engine.
    read: tells of any phrase of the grammar what it comes to.
    key: the same for the same grammar. acceptor: the grammar worked out, where that is quicker than
    reading its text.
    alike: whether many phrases sound alike, as door numbers do.
    elsewhere: tells of a phrase what sounds like it and is said at other questions, but may not be
    said now.
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
        """The grammar as text, written when an engine asks for it: that takes longer than all the
        rest.
        """
        return self.write()

    @cached_property
    def prompt(self) -> str:
        """Answers that may be said now, the most usual first, as a text to write on from."""
        found = ""
        for phrase in self.short:
            longer = f"{found}, {phrase}" if found else phrase
            if self.read(phrase).usual and len(longer) <= MAX_PROMPT:
                found = longer
        return found

    def polarity(self, phrase: str) -> Polarity:
        """Whether a phrase would pass the door, name a defect, or neither."""
        return self.read(phrase).polarity
