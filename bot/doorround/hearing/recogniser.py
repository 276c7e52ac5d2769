"""What every speech engine is given and what it gives back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from typing import Protocol

from doorround.domain.costs import Stakes
from doorround.hearing.audio import Sound
from doorround.hearing.sayable import Sayable
from doorround.hearing.stakes import read_costs


class EngineUnavailable(Exception):
    """A speech engine cannot be used. str(): which, why and what to do, one line."""


class Polarity(StrEnum):
    """What a phrase would mean for the door: only a PASS can hide a defect."""

    PASS = "pass"
    DEFECT = "defect"
    NEITHER = "neither"


class Outcome(StrEnum):
    """What came of listening to one recording. Only HEARD may answer a question."""

    HEARD = "heard"
    UNSURE = "unsure"
    OFF_GRAMMAR = "off_grammar"
    SILENCE = "silence"
    BAD_AUDIO = "bad_audio"


@dataclass(frozen=True)
class Reading:
    """What a phrase comes to. gist: the same for phrases that mean the same. stakes: of taking it wrongly.

    usual: whether it answers the question; commands and corrections are said more seldom. known: whether it means
    anything now; a grammar joins words that mean nothing together.
    """

    polarity: Polarity
    gist: str
    stakes: Stakes
    usual: bool = True
    known: bool = True


def plain_reading(phrase: str, polarity: Polarity = Polarity.NEITHER) -> Reading:
    """A phrase that means itself."""
    costs = read_costs()
    stakes = {Polarity.PASS: costs.passing, Polarity.DEFECT: costs.defect, Polarity.NEITHER: costs.other}
    return Reading(polarity, phrase, stakes[polarity])


def _nothing(_phrase: str) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True)
class Allowed:
    """The phrases that may be said now, ready for any engine.

    write: gives one self-contained JSGF grammar without imports or tags, one public rule, maybe thousands of phrases.
    short: its usual phrases, most usual first, at least one a meaning: some are always put to the second engine.
    read: tells of any phrase of the grammar what it comes to.
    key: the same for the same grammar. sayable: the grammar worked out, where that is quicker than reading its text.
    alike: whether many phrases sound alike, as door numbers do.
    elsewhere: tells of a phrase what sounds like it and is said at other questions, but may not be said now.
    """

    key: str
    short: tuple[str, ...]
    write: Callable[[], str] = field(compare=False)
    read: Callable[[str], Reading] = plain_reading
    sayable: Callable[[], Sayable] | None = field(default=None, compare=False)
    alike: bool = field(default=False, compare=False)
    elsewhere: Callable[[str], Sequence[str]] = field(default=_nothing, compare=False)

    @cached_property
    def jsgf(self) -> str:
        """The grammar as text, written when an engine asks for it: that takes longer than all the rest."""
        return self.write()

    def polarity(self, phrase: str) -> Polarity:
        """Whether a phrase would pass the door, name a defect, or neither."""
        return self.read(phrase).polarity


@dataclass(frozen=True)
class Guess:
    """One phrase that an engine thinks it heard. probability: 0 to 1; evidence: the figures that it comes from."""

    phrase: str
    probability: float
    evidence: Mapping[str, float] = field(default_factory=dict)


class Recogniser(Protocol):
    """One speech engine. An engine that cannot tell gives an empty tuple: never its least bad guess.

    version: of the engine or its model, kept with every answer."""

    name: str
    version: str

    def guesses(self, sound: Sound, allowed: Allowed) -> tuple[Guess, ...]:
        """Best first; whole phrases of `allowed` only; lower case words separated by one space."""

    def choose(self, speech: Sound, phrases: Sequence[str]) -> str | None:
        """Which of a few phrases was said in a recording that is cut to its speech; None where it hears none."""
        ...


@dataclass(frozen=True)
class Recognition:
    """What all engines together make of one recording.

    phrase: set when HEARD or UNSURE (then the best guess). guesses: best first. problem: for BAD_AUDIO, what is
    wrong and what to do, one line. seconds: spent recognising. audio_seconds: length of the recording.
    opposite: probability that the opposite was said. costs: what each decision would have cost, in turns. why: what
    kept a likely phrase from being accepted. transcript: what was written freely beside the phrase, "" where nothing
    was. covered: probability that the phrase is all that was said. within: a phrase that was refused since more was
    said than it.
    """

    outcome: Outcome
    phrase: str | None
    probability: float
    guesses: tuple[Guess, ...]
    engine: str
    seconds: float
    audio_seconds: float
    problem: str | None = None
    opposite: float = 0.0
    costs: Mapping[str, float] = field(default_factory=dict)
    why: str | None = None
    transcript: str = ""
    covered: float = 1.0
    within: str | None = None
