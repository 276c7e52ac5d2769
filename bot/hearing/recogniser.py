"""What every speech engine is given and what it gives back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from bot.hearing.audio import Sound
from bot.hearing.network import Automaton


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


def _neither(_phrase: str) -> Polarity:
    return Polarity.NEITHER


@dataclass(frozen=True)
class Allowed:
    """The phrases that may be said now, ready for any engine.

    jsgf: one self-contained JSGF grammar without imports or tags, one public rule; may describe thousands of phrases.
    short: its usual phrases, most usual first, at least one a meaning: the closed set when there is no proposer.
    polarity: tells of any phrase of the grammar whether it would pass the door, name a defect, or neither.
    key: the same for the same grammar. automaton: the grammar worked out, where that is quicker than reading jsgf.
    """

    jsgf: str
    short: tuple[str, ...]
    polarity: Callable[[str], Polarity] = _neither
    key: str = field(default="", compare=False)
    automaton: Callable[[], Automaton] | None = field(default=None, compare=False)


@dataclass(frozen=True)
class Guess:
    """One phrase that an engine thinks it heard. probability: 0 to 1; evidence: the figures that it comes from."""

    phrase: str
    probability: float
    evidence: Mapping[str, float] = field(default_factory=dict)


class Recogniser(Protocol):
    """One speech engine. An engine that cannot tell gives an empty tuple: never its least bad guess."""

    name: str

    def guesses(self, sound: Sound, allowed: Allowed) -> tuple[Guess, ...]:
        """Best first; whole phrases of `allowed` only; lower case words separated by one space."""
        ...


@dataclass(frozen=True)
class Recognition:
    """What all engines together make of one recording.

    phrase: set when HEARD or UNSURE (then the best guess). guesses: best first. problem: for BAD_AUDIO, what is
    wrong and what to do, one line. seconds: spent recognising. audio_seconds: length of the recording.
    """

    outcome: Outcome
    phrase: str | None
    probability: float
    guesses: tuple[Guess, ...]
    engine: str
    seconds: float
    audio_seconds: float
    problem: str | None = None
