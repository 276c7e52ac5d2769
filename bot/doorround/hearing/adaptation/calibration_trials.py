"""Labelled recordings as trials for fitting calibration: each recognised clean and in noise."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE, LabelledClip
from doorround.hearing.adaptation.probability_fit import (
    Trial,
)
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.noise import mixed, pink, voices
from doorround.hearing.audio.sound import Samples, Sound, UnusableAudio
from doorround.hearing.audio.vad import detect_speech
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.phrase_list import said_in

NOISES = (("pink", 10), ("pink", 5), ("pink", 0), ("voices", 10), ("voices", 5), ("voices", 0))
"""Kinds of noise, and decibels below the words."""


SEED = 5


@dataclass(frozen=True)
class SpokenClip:
    """A recording, its words, and its possible answers. noise: kind added, "" for none."""

    name: str
    sound: Sound
    words: str
    grammar: ActiveGrammar
    noise: str = ""


def trial_of(
    pipeline: RecognitionPipeline, spoken: SpokenClip, weight: float = 1.0
) -> Trial | None:
    """One recording as recognised; None if no engine recognises anything, which is right for one
    without an answer.
    """
    speech = detect_speech(spoken.sound)
    if not speech.anyone:
        return None
    scored = pipeline.score_phrases(speech, spoken.grammar)
    if not scored.guesses:
        return None
    best = spoken.grammar.read(scored.guesses[0].phrase)
    asked = spoken.words not in (STRANGE, SILENT)
    said = spoken.grammar.read(spoken.words) if asked else None
    right = said is not None and said.gist == best.gist
    if best.polarity is Polarity.NEITHER:
        return Trial(dict(scored.evidence), right, None, spoken.noise, weight)
    turned = said is not None and {said.polarity, best.polarity} == {Polarity.PASS, Polarity.DEFECT}
    return Trial(dict(scored.evidence), right, turned, spoken.noise, weight)


def spoken_in(
    clips: Sequence[LabelledClip],
    grammar_for: Callable[[LabelledClip], ActiveGrammar],
    noisy: int = 1,
    kinds: int = 1,
) -> Iterator[SpokenClip]:
    """Every clip clean, and every nth in noise too, the kinds in turn; words outside the
    grammar count as out-of-vocabulary. grammar_for: the grammar for the clip. kinds: how many of
    NOISES to use, one recording each.
    """
    pool = list(_voices(clips))
    count = 0
    for clip in clips:
        try:
            sound = load_sound(clip.path)
        except UnusableAudio:
            continue
        grammar = grammar_for(clip)
        known = clip.words == SILENT or said_in(grammar).accepts(clip.words.split())
        words = clip.words if known else STRANGE
        yield SpokenClip(clip.path.name, sound, words, grammar)
        count += 1
        for which in range(kinds if pool and count % noisy == 0 else 0):
            kind, decibels = NOISES[(count // noisy * kinds + which) % len(NOISES)]
            noise = in_noise(sound, kind, decibels, pool, clip.path.name)
            yield SpokenClip(clip.path.name, noise, words, grammar, f"{kind} {decibels} dB")


def in_noise(sound: Sound, kind: str, decibels: float, pool: Sequence[Samples], name: str) -> Sound:
    """The sound in noise seeded by its name."""
    drawn = np.random.default_rng([SEED, zlib.crc32(name.encode())])
    count = len(sound.samples)
    return mixed(
        sound, pink(count, drawn) if kind == "pink" else voices(count, pool, drawn), decibels
    )


def _voices(clips: Sequence[LabelledClip]) -> Iterator[Samples]:
    for clip in clips:
        if clip.words != SILENT:
            try:
                yield load_sound(clip.path).samples
            except UnusableAudio:
                continue
