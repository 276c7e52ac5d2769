"""Whether a phrase is all that was said: what speaks for the sentence ending there, and what was
written besides.

A closed set of phrases is heard into whatever begins or ends like one of them: "closes fully,
sometimes" fits "closes fully" as well as the phrase alone does. So wherever a phrase would pass
something, both listeners are asked whether they would have ended the sentence there, one of them
for what it would write of its own accord, and the clock for how long it took to say.
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
"""Seconds of speech that a phrase usually takes, and seconds more a letter; what lies over it is
overtime.
"""

MAX_WRITTEN = 4.0, 6.0
"""Tokens that are written of their own accord, and more a second of speech: no speaker is quicker,
and a network that goes round in circles stops there.
"""

ALIKE = 0.5
"""How far what was written may sound from the phrase and still be it: "kilograms" for
"kilogrammes", "jam" for "jamb".
"""

GOES_ON = -1.5
"""Nats for the end under which a fault, which needs no such care, is written out with what came
after.
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
    """evidence: end, second_end: nats for either listener to end after the phrase. overtime:
    seconds of speech beyond what the phrase takes. extra: phones written beyond those of the
    phrase; apart: how far what was written sounds from it, see phone_costs.toml. nuclei: syllables
    heard beyond those of the phrase. rather: nats by which what the second listener writes itself
    fits better, where it sounds otherwise. transcript: what was written.
    """

    evidence: Mapping[str, float]
    transcript: str


def is_held(phrase: str, grammar: ActiveGrammar) -> bool:
    """Whether the phrase has to be all that was said: it would pass something, or is a bare yes or
    no.
    """
    return phrase in BARE or grammar.polarity(phrase) is Polarity.PASS


@dataclass(frozen=True)
class Listeners:
    """Who may be asked, and what each has taken in: the first listener, and the second where there
    is one.
    """

    listener: WhisperEngine
    encoded: Encoded
    second: MoonshineEngine | None = None
    second_encoded: MoonshineEncoded | None = None

    def written(self, spoken: float) -> str:
        """What was said, written freely: by the second listener, where there is one. spoken:
        seconds of speech.
        """
        if self.second is None or self.second_encoded is None:
            return once(self.listener.transcribe(self.encoded))
        return self.second.transcribe(self.second_encoded, _most(spoken)).text

    def rewritten(self, prompt: str) -> Rewritten:
        """The same by the first listener: of its own accord, where the second wrote the transcript,
        and given a prompt.
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
    """With what tells whether the best phrase is all that was said, where it has to be; of a fault
    that goes on with what was written of it. speech: the sound cut to it. spoken: seconds of
    speech.
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
    """What speaks for the phrase being all that was said. speech: the sound cut to it. spoken:
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
    """extra, apart: by the reading of the transcript's figures that is nearer to the phrase."""
    found = [_apart(phrase, " ".join(words)) for words in readings(transcript) if words]
    apart, extra = min(found, default=(0.0, 0.0))
    return {"extra": extra, "apart": apart}


def _apart(phrase: str, written: str) -> tuple[float, float]:
    more = len(ways_to_speak(written, first_way)[0]) - len(ways_to_speak(phrase, first_way)[0])
    return distance(written, phrase, first_way), float(max(0, more))


def vowels(phrase: str) -> int:
    """Vowels of a phrase as it is usually said: its syllables."""
    return sum(phone in VOWELS for phone, _ in ways_to_speak(phrase, first_way)[0])


def _most(spoken: float) -> int:
    return round(MAX_WRITTEN[0] + MAX_WRITTEN[1] * spoken)


def readings(text: str) -> tuple[list[str], list[str]]:
    """The words of a written text, its figures as numbers and as digits: "Top 345." is "top three
    hundred and forty five" and "top three four five".
    """
    plain = _UNIT.sub(lambda unit: f"{unit[1]} {_UNITS[unit[2]]}", text.lower())
    as_number = _FIGURES.sub(lambda figures: f" {cardinal(int(figures[0]))} ", plain)
    as_digits = _DIGIT.sub(lambda digit: f" {cardinal(int(digit[0]))} ", plain)
    return _WORD.findall(as_number), _WORD.findall(as_digits)


def once(text: str) -> str:
    """A text without its repetitions: "three or four, three or four, three" is "three or four"."""
    words = readings(text)[0]
    for length in range(1, len(words) // 2 + 1):
        if all(word == words[place % length] for place, word in enumerate(words)):
            return " ".join(words[:length])
    return text
