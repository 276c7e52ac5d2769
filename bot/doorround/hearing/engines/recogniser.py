"""Input and output common to every speech engine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech
from doorround.hearing.grammar.active_grammar import ActiveGrammar


class Outcome(StrEnum):
    """Outcome for one recording. Only HEARD may answer a question."""

    HEARD = "heard"
    UNSURE = "unsure"
    OFF_GRAMMAR = "off_grammar"
    SILENCE = "silence"


@dataclass(frozen=True)
class Guess:
    """One hypothesis of an engine. probability: 0 to 1; evidence: the figures behind it."""

    phrase: str
    probability: float
    evidence: Mapping[str, float] = field(default_factory=dict)


class Recogniser(Protocol):
    """One speech engine. If it cannot decide, it returns an empty tuple: never its least bad guess.

    version: of the engine or its model, stored with every answer.
    """

    name: str
    version: str

    def guesses(
        self, recording: Sound | DetectedSpeech, grammar: ActiveGrammar
    ) -> tuple[Guess, ...]:
        """Best first; only complete phrases of `grammar`; lower-case words separated by
        one space.
        """

    def choose(self, speech: Sound, phrases: Sequence[str]) -> str | None:
        """Which of a few phrases was said in a recording trimmed to its speech; None for none of
        them.
        """
        ...


@dataclass(frozen=True)
class Rewritten:
    """Free transcriptions by the first listener, to compare with the transcript. alternative:
    unprompted; prompted: with expected answers as the prompt, which biases it towards them, said or
    not. "" if not requested.
    """

    alternative: str = ""
    prompted: str = ""


NOT_REWRITTEN = Rewritten()


@dataclass(frozen=True)
class Recognition:
    """Combined result of all engines for one recording.

    phrase: set if HEARD or UNSURE (then the best guess). guesses: best first. seconds: processing
    time. audio_seconds: duration of the recording. opposite: probability that the opposite was
    said. costs: of each decision, in turns. why: what prevented a likely phrase from being
    accepted. transcript: free transcription, "" if there was none. covered: probability that the
    phrase is all that was said. within: a phrase rejected because more was said than it covers.
    rewritten: of a rejected one.
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
