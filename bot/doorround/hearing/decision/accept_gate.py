"""What keeps a likely phrase from being entered without a yes, and how sure the other phrases
are.
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
"""Seconds of speech that a phrase may take, and seconds more a letter. Of 384 human "yes" and "no"
0.8 % take longer; two people at once, or an answer with more said around it, do.
"""

EQUAL = 0.5
"""Nats by which a fault must fit better than whatever means something else, and what passes
nothing; a pass: NEAR. "Damaged hinge", which is no answer about the frame, was heard as "damaged
head" with 0.95, a tenth of a nat before something else.
"""

LOUD = 12.0
"""Depth, dB from the words down to what is behind them, under which a figure that would pass
something is read back: in pink noise one word of a long number is lost and the rest still fits. At
5 dB (depth 8 to 10.5) "further about twenty newtons" was heard as "pounds" with 0.97, at 0 dB (5 to
7) "two thousand and forty millimetres" as "two thousand and forty nine" with 0.98; at 10 dB (12.5
to 15) no figure of 99 was entered wrongly.
"""

NOISY = 20.0
"""Depth, dB, under which a fault may be a mishearing of something else, and is looked at more
closely: in pink noise of 10 dB it is 11 to 15.
"""

STRANGE = 2.05
"""Nats a token by which the second listener would have written something else, from which a fault
in noise is read back. Of 88 faults entered in pink noise of 10 dB, in voices that hearing is fitted
on, seven reach it (2.06 to 3.2), six of them misheard: "soft wood" as "stop loose". Of the other 81
four are: "bead broken" as "leaf broken". (`bench_own_words --said fit --each 80`, and of the third
and fourth table `--each 40`, all `--noise alone`.)
"""

STRANGE_IN_QUIET = 1.9
"""The same where it is quiet. Of 84 faults that were entered there of something longer or in words
of one's own, 16 reach it: "locked, nope", "latch stuck, never", "undamaged, in the old days" as
"some damaged" (`bench_more_was_said --start 3300`, code of commit 3eb8beb).
"""

ANOTHER_WORD = 1.0
"""How far what the second listener writes may sound from a pass of one syllable, no number, before
the pass is read back: a short word has little to tell it by. "Ripped", told of a sign, was heard as
"right" with 0.99 and written as "Great" (1.23). Of 494 passes that were said and entered rightly,
49 of them one word, two reach it: "whole" and "unlocked" (`bench_more_was_said --start 1980` and
`3300`). Longer words are written otherwise by a voice that is hard to write: flite slt's "corridor"
and "undamaged" reached it, and no longer word that was misheard did.
"""

MUCH_MORE = 8.0
"""Phones written beyond those of a fault in noise from which it is read back as one with more:
"can't read it" has 10, of "can read it from down the hall"; the next highest has 6, and is right.
"""

MIN_COVERED = 0.7
"""Probability that a phrase is all that was said under which it is refused."""

SURELY_COVERED = 0.9
"""The same under which a read-back says that there was more."""

MIN_LIKELY = 0.6
"""Probability under which a phrase that would pass something is asked for again and not read back:
whoever nods at a wrong pass enters it.
"""

MIN_LIKELY_IN_NOISE = 0.8
"""The same in noise: there more of the phrases that are read back are wrong."""

MIN_LIKELY_AMONG_VOICES = 0.9
"""The same among other voices, for the same reason."""

MIN_LIKELY_BARE = 0.5
"""The same of a bare yes or no. Of 40 halves of other words that would be read back as one 36 lie
under it, of 209 people's yes and no one. PocketSphinx alone, which is sure of little, still reads
back: so 98.6 % of people's yes and no are right, and 91.9 if it asked again.
"""


BARE_OVERTIME = 0.35
"""Seconds over what a bare yes or no takes from which a second syllable is another word. Of 209
people's yes and no one has both. So had all 6 of 821 that were entered though another word followed
("yes off", "no two"); of 416 chosen anew 2 were entered without ("yes up", "no yes").
"""


def doubt_of(
    scored: ScoredHypotheses, grammar: ActiveGrammar, speech: DetectedSpeech, near: float = NEAR
) -> str | None:
    """What keeps a phrase that is likely enough from being entered without a yes; None where
    nothing does. near: nats by which a pass must fit better than whatever means something else.
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
    """What keeps a pass from being entered that fits better than all else."""
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
    """Whether a pass is one syllable, no number, and the second listener writes another word."""
    short = vowels(phrase) == 1 and phrase not in BARE and not numbers_in(phrase)
    return short and evidence.get("apart", 0.0) >= ANOTHER_WORD


def _doubt_of_fault(
    phrase: str, grammar: ActiveGrammar, evidence: Mapping[str, float]
) -> str | None:
    """What keeps a fault from being entered: it may be a mishearing of something else, the more so
    in noise.
    """
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
    """Whether the phrase is all that was said: no more speech than it takes, and for a pass no
    pause in it.

    What else was said may have been the "not".
    """
    if len(speech.segments) > 1 and grammar.polarity(phrase) is Polarity.PASS:
        return False
    least, more = SAID_WITHIN
    return speech.spoken <= least + more * len(phrase.replace(" ", ""))


def _goes_on(phrase: str, evidence: Mapping[str, float]) -> bool:
    """Whether a bare yes or no is too long and has a syllable too many."""
    second_syllable = evidence.get("nuclei", 0.0) >= 1
    return phrase in BARE and second_syllable and evidence.get("overtime", 0.0) >= BARE_OVERTIME


def is_too_unlikely(
    scored: ScoredHypotheses, probability: float, grammar: ActiveGrammar, calibration: Calibration
) -> bool:
    """Whether the best phrase is too unlikely to be read back: one that would pass something, or a
    bare yes or no, where it is told whether more was said.
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
    """What is behind the words, from the evidence."""
    return Backdrop(evidence.get("depth", 0.0), evidence.get("murmur", 1.0))


def coverage_doubt(covered: float) -> str | None:
    """Why a phrase is not entered: there may have been more; None where that is not why."""
    return MORE_WAS_SAID if covered < SURELY_COVERED else None


def phrase_within(phrase: str, covered: float, said: float) -> str | None:
    """What is told of a phrase with more beside it: the phrase, where it is likely to have been
    said.
    """
    return phrase if covered < SURELY_COVERED and said >= MIN_LIKELY else None


def shared_out(guesses: tuple[Guess, ...], probability: float) -> tuple[Guess, ...]:
    """The best guess has the probability; the others share what is left, the nearer the more."""
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
