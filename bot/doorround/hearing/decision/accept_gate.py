"""Accept gate: whether a hypothesis may be entered without confirmation, and the probabilities of
the others.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from doorround.domain.input_result import MORE_WAS_SAID
from doorround.english.denials import BARE, is_taken_back
from doorround.hearing.audio.level import Backdrop
from doorround.hearing.audio.vad import SPEECH, DetectedSpeech
from doorround.hearing.decision.calibration import Calibration, is_quiet
from doorround.hearing.decision.coverage import is_held, vowels
from doorround.hearing.decision.scored_hypotheses import FAR, ScoredHypotheses
from doorround.hearing.engines.recogniser import Guess
from doorround.hearing.engines.tuning import NEAR
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.phrase_numbers import numbers_in

SAID_WITHIN = 0.7, 0.1
"""Maximum duration of a phrase in seconds: a constant, plus so much for each letter. Of 384 human
"yes" and "no" 0.8 % take longer; two people at once, or an answer with more said around it, do too.
"""

EQUAL = 0.5
"""Minimum margin, in nats, of anything but a pass over the best phrase with another meaning; for a
pass it is NEAR. "Damaged hinge", which is no answer about the frame, was recognised as "damaged
head" with 0.95, a tenth of a nat ahead of something else.
"""

LOUD = 12.0
"""Depth, in dB from the speech down to the background, under which a figure that would pass
something is read back: in pink noise one word of a long number is lost and the rest still fits. At
5 dB (depth 8 to 10.5) "further about twenty newtons" was recognised as "pounds" with 0.97, at 0 dB
(5 to 7) "two thousand and forty millimetres" as "two thousand and forty nine" with 0.98; at 10 dB
(12.5 to 15) none of 99 figures was entered wrongly.
"""

NOISY = 20.0
"""Depth, in dB, under which a fault is checked more strictly, as it may be a misrecognition: in
pink noise at 10 dB the depth is 11 to 15.
"""

STRANGE = 2.05
"""Surprise of the second listener, in nats for each token, from which a fault in noise is read
back. Of 88 faults entered in pink noise at 10 dB, with voices used for fitting, seven reach it
(2.06 to 3.2), six of them misrecognised: "soft wood" as "stop loose". Of the other 81, four are:
"bead broken" as "leaf broken". (`bench_own_words --said fit --each 80`, and for the third and
fourth table `--each 40`, all `--noise alone`.)
"""

STRANGE_IN_QUIET = 1.9
"""The same in quiet. Of 84 faults entered there from longer speech or words outside the grammar, 16
reach it: "locked, nope", "latch stuck, never", "undamaged, in the old days" as "some damaged"
(`bench_more_was_said --start 3300`, code of commit 3eb8beb).
"""

ANOTHER_WORD = 1.0
"""Distance between the second listener's transcript and a pass of one syllable, not a number, from
which the pass is read back: a short word offers little evidence. "Ripped", said of a sign, was
recognised as "right" with 0.99 and transcribed as "Great" (1.23). Of 494 passes entered correctly,
49 of them one word, two reach it: "whole" and "unlocked" (`bench_more_was_said --start 1980` and
`3300`). It is not applied to longer words: a voice that is hard to transcribe reaches it (flite
slt's "corridor" and "undamaged"), and no misrecognised longer word did.
"""

MUCH_MORE = 8.0
"""Phones transcribed beyond those of a fault in noise from which it is read back because more was
said: "can't read it" has 10, from "can read it from down the hall"; the next highest has 6, and is
correct.
"""

MIN_COVERED = 0.7
"""Probability of coverage under which a phrase is rejected."""

SURELY_COVERED = 0.9
"""Probability of coverage under which a read-back says that there was more."""

MIN_LIKELY = 0.6
"""Probability under which a phrase that would pass something is asked for again instead of read
back: an absent-minded yes to a wrong pass would enter it.
"""

MIN_LIKELY_IN_NOISE = 0.8
"""The same in noise, where more read-backs are wrong."""

MIN_LIKELY_AMONG_VOICES = 0.9
"""The same with other voices in the background, for the same reason."""

MIN_LIKELY_BARE = 0.5
"""The same for a bare yes or no. Of 40 halves of other words that would be read back as yes or no,
36 lie under it; of 209 human "yes" and "no", one. PocketSphinx alone, with its low probabilities,
still reads back: 98.6 % of human "yes" and "no" are then correct, against 91.9 if it asked again.
"""


BARE_OVERTIME = 0.35
"""Overtime of a bare yes or no, in seconds, from which a second syllable counts as another word. Of
209 human "yes" and "no", one has both. So had all 6 of 821 that were entered although another word
followed ("yes off", "no two"); of 416 further ones, 2 were entered without ("yes up", "no yes").
"""


def doubt_of(
    scored: ScoredHypotheses, grammar: ActiveGrammar, speech: DetectedSpeech, near: float = NEAR
) -> str | None:
    """Reason why a sufficiently probable phrase still needs confirmation; None if it does not.
    near: minimum margin of a pass over the best phrase with another meaning, in nats.
    """
    phrase = scored.guesses[0].phrase
    if not is_all(phrase, grammar, speech) or _goes_on(phrase, scored.evidence):
        return MORE_WAS_SAID
    passes = grammar.polarity(phrase) is Polarity.PASS
    if passes and is_taken_back(scored.transcript, phrase):
        return MORE_WAS_SAID
    if scored.evidence.get("unanswered", FAR) < 0:
        return "something else fits better"
    if passes and scored.seconded is False:
        return "the engines differ"
    if (margin := scored.evidence.get("margin", FAR)) < (near if passes else EQUAL):
        return "something else fits better" if margin < 0 else "something else fits nearly as well"
    if not passes:
        return _doubt_of_fault(phrase, grammar, scored.evidence)
    return _doubt_of_pass(phrase, scored.evidence, speech)


def _doubt_of_pass(
    phrase: str, evidence: Mapping[str, float], speech: DetectedSpeech
) -> str | None:
    """Reason why a pass that fits best still needs confirmation."""
    if _is_another_word(phrase, evidence):
        return "the second listener would write something else"
    if speech.sound.torn:
        return "the recording breaks off"
    begins = speech.sound.from_start and speech.probabilities[0] >= SPEECH
    if begins and phrase not in BARE:
        return "the beginning may be cut off"
    if numbers_in(phrase) and evidence.get("depth", 0.0) < LOUD:
        return "a figure in noise"
    return "other voices" if backdrop_of(evidence).talk else None


def _is_another_word(phrase: str, evidence: Mapping[str, float]) -> bool:
    """Whether a pass is one syllable, not a number, and the second listener writes another word."""
    short = vowels(phrase) == 1 and phrase not in BARE and not numbers_in(phrase)
    return short and evidence.get("apart", 0.0) >= ANOTHER_WORD


def _doubt_of_fault(
    phrase: str, grammar: ActiveGrammar, evidence: Mapping[str, float]
) -> str | None:
    """Reason why a fault needs confirmation: it may be a misrecognition, especially in noise."""
    reading = grammar.read(phrase)
    if reading.polarity is not Polarity.DEFECT or phrase in BARE:
        return None
    noisy = evidence.get("depth", 0.0) < NOISY
    if evidence.get("strange", 0.0) >= (STRANGE if noisy else STRANGE_IN_QUIET):
        return "the second listener would write something else"
    if noisy and evidence.get("extra", 0.0) >= MUCH_MORE:
        return MORE_WAS_SAID
    return "of another part, in noise" if noisy and reading.aside else None


def is_all(phrase: str, grammar: ActiveGrammar, speech: DetectedSpeech) -> bool:
    """Whether the phrase is all that was said: no more speech than it takes and, for a pass, no
    pause in it.

    The rest may have been the "not".
    """
    if len(speech.segments) > 1 and grammar.polarity(phrase) is Polarity.PASS:
        return False
    least, more = SAID_WITHIN
    return speech.spoken <= least + more * len(phrase.replace(" ", ""))


def _goes_on(phrase: str, evidence: Mapping[str, float]) -> bool:
    """Whether a bare yes or no is too long and has an extra syllable."""
    second_syllable = evidence.get("nuclei", 0.0) >= 1
    return phrase in BARE and second_syllable and evidence.get("overtime", 0.0) >= BARE_OVERTIME


def is_too_unlikely(
    scored: ScoredHypotheses, probability: float, grammar: ActiveGrammar, calibration: Calibration
) -> bool:
    """Whether the best phrase is too improbable for a read-back. Applies to passes and to a bare
    yes or no, and only if the calibration has models of coverage.
    """
    phrase = scored.guesses[0].phrase
    if calibration.covers is None or not is_held(phrase, grammar):
        return False
    if phrase in BARE:
        return probability < MIN_LIKELY_BARE
    if is_quiet(scored.evidence):
        return probability < MIN_LIKELY
    among_voices = backdrop_of(scored.evidence).talk
    return probability < (MIN_LIKELY_AMONG_VOICES if among_voices else MIN_LIKELY_IN_NOISE)


def backdrop_of(evidence: Mapping[str, float]) -> Backdrop:
    """The background noise, from the evidence."""
    return Backdrop(evidence.get("depth", 0.0), evidence.get("murmur", 1.0))


def coverage_doubt(covered: float) -> str | None:
    """The reason that more may have been said; None if coverage is certain enough."""
    return MORE_WAS_SAID if covered < SURELY_COVERED else None


def phrase_within(phrase: str, covered: float, said: float) -> str | None:
    """The phrase if it was probably said but more was said with it; else None."""
    return phrase if covered < SURELY_COVERED and said >= MIN_LIKELY else None


def shared_out(guesses: tuple[Guess, ...], probability: float) -> tuple[Guess, ...]:
    """Assign the probability to the best guess and share the rest among the others by score."""
    behind = [
        math.exp(-min(50.0, max(0.0, guess.evidence.get("behind", FAR)))) for guess in guesses[1:]
    ]
    total = sum(behind) or 1.0
    left = (1 - probability) / total
    rest = [
        replace(guess, probability=left * share)
        for guess, share in zip(guesses[1:], behind, strict=True)
    ]
    return tuple([replace(guesses[0], probability=probability), *rest] if guesses else ())
