"""What every speech engine is given and what it gives back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech
from doorround.hearing.grammar.active_grammar import ActiveGrammar


class Outcome(StrEnum):
    """What came of listening to one recording. Only HEARD may answer a question."""

    HEARD = "heard"
    UNSURE = "unsure"
    OFF_GRAMMAR = "off_grammar"
    SILENCE = "silence"


@dataclass(frozen=True)
class Guess:
    """One phrase that an engine thinks it heard. probability: 0 to 1; evidence: the figures that it
    comes from.
    """

    phrase: str
    probability: float
    evidence: Mapping[str, float] = field(default_factory=dict)


class Recogniser(Protocol):
    """One speech engine. An engine that cannot tell gives an empty tuple: never its least bad
    guess.

    version: of the engine or its model, kept with every answer.
    """

    name: str
    version: str

    def guesses(
        self, recording: Sound | DetectedSpeech, grammar: ActiveGrammar
    ) -> tuple[Guess, ...]:
        """Best first; whole phrases of `grammar` only; lower case words separated by one space."""

    def choose(self, speech: Sound, phrases: Sequence[str]) -> str | None:
        """Which of a few phrases was said in a recording that is cut to its speech; None where it
        hears none.
        """
        ...


@dataclass(frozen=True)
class Rewritten:
    """What the first listener writes of a recording, to be read beside the transcript. alternative:
    of its own accord; prompted: with answers that may be said before it, which it is then readier
    to write, said or not. "" where it was not asked.
    """

    alternative: str = ""
    prompted: str = ""


NOT_REWRITTEN = Rewritten()


@dataclass(frozen=True)
class Recognition:
    """What all engines together make of one recording.

    phrase: set when HEARD or UNSURE (then the best guess). guesses: best first. seconds: spent
    recognising. audio_seconds: length of the recording.
    opposite: probability that the opposite was said. costs: what each decision would have cost, in
    turns. why: what kept a likely phrase from being accepted. transcript: what was written freely
    beside the phrase, "" where nothing was. covered: probability that the phrase is all that was
    said. within: a phrase that was refused since more was said than it. rewritten: of what was
    refused.
    """

    outcome: Outcome
    phrase: str | None
    probability: float
    guesses: tuple[Guess, ...]
    engine: str
    seconds: float
    audio_seconds: float
    opposite: float = 0.0
    costs: Mapping[str, float] = field(default_factory=dict)
    why: str | None = None
    transcript: str = ""
    covered: float = 1.0
    within: str | None = None
    rewritten: Rewritten = NOT_REWRITTEN
