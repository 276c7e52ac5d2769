"""Coverage: evidence that a phrase is all that was said, from end-of-sentence probabilities and a
free transcript.

A closed-set recogniser matches any speech that begins or ends like one of its phrases: "closes
fully, sometimes" fits "closes fully" as well as the phrase alone does. So if a phrase would pass
something, both listeners give the probability that the sentence ends there, one of them transcribes
freely, and the duration of the speech is compared.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from doorround.english.denials import BARE
from doorround.english.number_words import cardinal
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.syllables import syllables
from doorround.hearing.decision.calibration import Calibration
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.moonshine_engine import MoonshineEncoded, MoonshineEngine
from doorround.hearing.engines.recogniser import Rewritten
from doorround.hearing.engines.score import Encoded
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.lexicon.g2p import first_way
from doorround.hearing.lexicon.phone_distance import distance, ways_to_speak
from doorround.hearing.lexicon.pronunciations import VOWELS

TAKES = 0.1, 0.07
"""Usual duration of a phrase in seconds: a constant, plus so much for each letter. The excess is
overtime.
"""

MAX_WRITTEN = 4.0, 6.0
"""Maximum tokens of a free transcript: a constant, plus so many for each second of speech. No
speaker is quicker, and a decoder caught in a loop stops there.
"""

ALIKE = 0.5
"""Maximum distance between transcript and phrase that still count as the same: "kilograms" for
"kilogrammes", "jam" for "jamb".
"""

GOES_ON = -1.5
"""Log probability of the end, in nats, under which a fault is transcribed too, for what follows it.
Faults need no further check.
"""


_UNITS = {
    "mm": "millimetres",
    "kg": "kilograms",
    "g": "kilograms",
    "n": "newtons",
    "s": "seconds",
    "in": "inches",
}
_UNIT = re.compile(rf"(\d) ?({'|'.join(_UNITS)})\b")
_FIGURES = re.compile(r"\d{1,4}")
_DIGIT = re.compile(r"\d")
_WORD = re.compile(r"[a-z']*[a-z][a-z']*")


@dataclass(frozen=True)
class Coverage:
    """evidence: end, second_end: log probability, in nats, that the sentence ends after the phrase,
    by either listener. overtime: seconds of speech beyond the phrase's usual duration. extra:
    phones of the transcript beyond those of the phrase; apart: distance between them, see
    phone_costs.toml. nuclei: syllables detected beyond those of the phrase. rather: nats by which
    the second listener's own transcript fits better, if it sounds different. transcript: free text.
    """

    evidence: Mapping[str, float]
    transcript: str


def is_held(phrase: str, grammar: ActiveGrammar) -> bool:
    """Whether the phrase must be all that was said: it would pass something, or is a bare yes or
    no.
    """
    return phrase in BARE or grammar.polarity(phrase) is Polarity.PASS


@dataclass(frozen=True)
class Listeners:
    """The first listener and, if there is one, the second, each with the encoded recording."""

    listener: WhisperEngine
    encoded: Encoded
    second: MoonshineEngine | None = None
    second_encoded: MoonshineEncoded | None = None

    def written(self, spoken: float) -> str:
        """Free transcript, by the second listener if there is one. spoken: seconds of speech."""
        if self.second is None or self.second_encoded is None:
            return once(self.listener.transcribe(self.encoded))
        return self.second.transcribe(self.second_encoded, _most(spoken)).text

    def rewritten(self, prompt: str) -> Rewritten:
        """Transcripts by the first listener: a free one if the second wrote the other, and one with
        a prompt.
        """
        alternative = self.listener.rewrite(self.encoded) if self.second else ""
        prompted = self.listener.rewrite(self.encoded, prompt) if prompt else ""
        return Rewritten(once(alternative), once(prompted))


def covered(
    scored: ScoredHypotheses,
    grammar: ActiveGrammar,
    listeners: Listeners,
    speech: Sound,
    spoken: float,
    calibration: Calibration,
) -> ScoredHypotheses:
    """Add the evidence of coverage if the best phrase must be all that was said, or a transcript if
    it is a fault that continues. speech: the sound cut to the speech. spoken: seconds of speech.
    """
    best = scored.guesses[0].phrase
    if calibration.covers and is_held(best, grammar):
        found = coverage(best, listeners, speech, spoken)
        return replace(
            scored, evidence={**scored.evidence, **found.evidence}, transcript=found.transcript
        )
    goes_on = (
        grammar.polarity(best) is Polarity.DEFECT
        and listeners.listener.ends(listeners.encoded, best) < GOES_ON
    )
    if not goes_on:
        return scored
    written = listeners.written(spoken)
    return replace(
        scored, evidence={**scored.evidence, **beyond(best, written)}, transcript=written
    )


def coverage(phrase: str, listeners: Listeners, speech: Sound, spoken: float) -> Coverage:
    """Evidence that the phrase is all that was said. speech: the sound cut to the speech. spoken:
    seconds of speech.
    """
    evidence = {
        "end": listeners.listener.ends(listeners.encoded, phrase),
        "nuclei": float(syllables(speech.samples) - vowels(phrase)),
        "overtime": spoken - TAKES[0] - TAKES[1] * len(phrase.replace(" ", "")),
    }
    second = listeners.second
    second_encoded = listeners.second_encoded
    if second is None or second_encoded is None:
        transcript = listeners.written(spoken)
        return Coverage(evidence | beyond(phrase, transcript), transcript)
    free = second.transcribe(second_encoded, _most(spoken))
    found = beyond(phrase, free.text)
    rather = free.total - second.fit(second_encoded, phrase) if found["apart"] > ALIKE else 0.0
    return Coverage(
        evidence | found | {"second_end": second.ends(second_encoded, phrase), "rather": rather},
        free.text,
    )


def beyond(phrase: str, transcript: str) -> dict[str, float]:
    """extra, apart: by the reading of the transcript's figures that is closer to the phrase."""
    found = [_apart(phrase, " ".join(words)) for words in readings(transcript) if words]
    apart, extra = min(found, default=(0.0, 0.0))
    return {"extra": extra, "apart": apart}


def _apart(phrase: str, written: str) -> tuple[float, float]:
    more = len(ways_to_speak(written, first_way)[0]) - len(ways_to_speak(phrase, first_way)[0])
    return distance(written, phrase, first_way), float(max(0, more))


def vowels(phrase: str) -> int:
    """Number of syllables: vowels in the phrase's first pronunciation."""
    return sum(phone in VOWELS for phone, _ in ways_to_speak(phrase, first_way)[0])


def _most(spoken: float) -> int:
    return round(MAX_WRITTEN[0] + MAX_WRITTEN[1] * spoken)


def readings(text: str) -> tuple[list[str], list[str]]:
    """Words of a text, with figures read as numbers and as digits: "Top 345." is "top three hundred
    and forty five" and "top three four five".
    """
    plain = _UNIT.sub(lambda unit: f"{unit[1]} {_UNITS[unit[2]]}", text.lower())
    as_number = _FIGURES.sub(lambda figures: f" {cardinal(int(figures[0]))} ", plain)
    as_digits = _DIGIT.sub(lambda digit: f" {cardinal(int(digit[0]))} ", plain)
    return _WORD.findall(as_number), _WORD.findall(as_digits)


def once(text: str) -> str:
    """A text without repetitions: "three or four, three or four, three" is "three or four"."""
    words = readings(text)[0]
    for length in range(1, len(words) // 2 + 1):
        if all(word == words[place % length] for place, word in enumerate(words)):
            return " ".join(words[:length])
    return text
