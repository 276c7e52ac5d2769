"""Checks a pronunciation: a synthesiser, which pronounces the spelling independently, speaks the
word, and the engines recognise it among the grammar's most similar-sounding words.
"""

from __future__ import annotations

import io
import wave
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import Sound
from doorround.hearing.engines.recogniser import Recogniser
from doorround.hearing.engines.sphinx_engine import SphinxEngine
from doorround.hearing.grammar.pass_fail_acceptors import listed
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.lexicon.phone_distance import Ways, distances, sounds_of
from doorround.hearing.lexicon.pronunciations import Phones

MAX_BESIDE = 20
RATE = 24_000
"""Sample rate of the synthesiser in hertz."""
SEED = 1
QUIET_S = 0.3


@dataclass(frozen=True)
class Checked:
    """engine: name. heard: the word recognised, None for nothing."""

    engine: str
    word: str
    heard: str | None

    @property
    def right(self) -> bool:
        return self.heard == self.word


def synthesiser() -> Callable[[str], Sound] | None:
    """The synthesiser of the dev extra, which speaks a word; None if not installed."""
    try:
        from hibari import Hibari
    except ImportError:
        return None
    voice: Any = Hibari()
    return lambda words: _sound(np.asarray(voice(words, speed=1.0, seed=SEED), dtype=np.float32))


def _sound(samples: Any) -> Sound:
    quiet = np.random.default_rng(SEED).standard_normal(round(QUIET_S * RATE)) * 2e-4
    whole = np.concatenate([quiet, samples, quiet])
    written = io.BytesIO()
    with wave.open(written, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes((np.clip(whole, -1, 1) * 32767).astype("<i2").tobytes())
    return load_sound(written.getvalue())


def nearest_words(
    word: str, vocabulary: Iterable[str], ways: Ways, most: int = MAX_BESIDE
) -> list[str]:
    """The words that sound most similar to one, without homophones."""
    others = sorted({other for other in vocabulary if other != word and ways(other)})
    far = distances(others, sounds_of(listed([word]), ways), ways)
    apart = sorted(
        (float(away), other) for away, other in zip(far, others, strict=True) if away > 0
    )
    return [other for _, other in apart[:most]]


def check_spoken(
    word: str, sound: Sound, beside: Iterable[str], engines: Iterable[Recogniser]
) -> list[Checked]:
    """Each engine's result for a spoken word."""
    grammar = grammar_of_phrases([word, *beside])
    found = []
    for engine in engines:
        guesses = engine.guesses(sound, grammar)
        found.append(Checked(engine.name, word, guesses[0].phrase if guesses else None))
    return found


def sphinx_with(words: Mapping[str, tuple[Phones, ...]]) -> SphinxEngine:
    """PocketSphinx with these words, for guesses only."""
    return SphinxEngine(words, gated=False)
