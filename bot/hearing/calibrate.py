"""Fitting hearing to labelled recordings: clips → evidence → the coefficients that Ear weighs it with."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from bot.hearing.audio import BadAudio, Samples, Sound, load_sound
from bot.hearing.calibration import Calibration
from bot.hearing.clips import SILENT, STRANGE, Clip
from bot.hearing.ear import Ear
from bot.hearing.fitting import Trial, brier, fit_opposite, fit_right
from bot.hearing.judging import FAR
from bot.hearing.noises import mixed, pink, voices
from bot.hearing.phrases import automaton_of
from bot.hearing.recogniser import Allowed, Polarity

RIGHT: Mapping[str, tuple[str, ...]] = {
    "listeners": ("total", "margin", "decoy", "agree", "fit"),
    "pair": ("total", "margin", "decoy", "agree", "surprise"),
    "listener": ("total", "margin", "decoy", "surprise"),
    "pocketsphinx": ("loop", "talk", "gap", "log_frames", "voice"),
    "vosk": ("confidence",),
}
"""Evidence for the best guess, by the way of hearing (way_of)."""

OPPOSITE: Mapping[str, tuple[str, ...]] = {
    "listeners": ("opposite", "against", "murmur", "depth"),
    "pair": ("opposite", "against", "murmur", "depth"),
    "listener": ("opposite", "murmur", "depth"),
    "pocketsphinx": ("turned", "murmur", "depth"),
    "vosk": ("confidence", "murmur", "depth"),
}
"""Evidence for its opposite."""

NOISES = (("pink", 10), ("pink", 5), ("pink", 0), ("voices", 10), ("voices", 5), ("voices", 0))
"""What is mixed in, and so many decibels under the words."""

LEAST_OPPOSED = 10
"""Answers mistaken for their opposite, under which nothing can be learnt of when that happens."""

SEED = 5


@dataclass(frozen=True)
class Spoken:
    """A recording, what is said in it, and what might have been said. noise: what was mixed in, "" for none."""

    name: str
    sound: Sound
    words: str
    allowed: Allowed
    noise: str = ""


def trial_of(ear: Ear, spoken: Spoken) -> Trial | None:
    """One recording heard; None where no engine hears anything, which is right for one that holds no answer."""
    if not ear.anyone_speaks(spoken.sound):
        return None
    weighed = ear.weigh(spoken.sound, spoken.allowed)
    if not weighed.guesses:
        return None
    best = spoken.allowed.read(weighed.guesses[0].phrase)
    asked = spoken.words not in (STRANGE, SILENT)
    said = spoken.allowed.read(spoken.words) if asked else None
    right = said is not None and said.gist == best.gist
    if best.polarity is Polarity.NEITHER:
        return Trial(dict(weighed.evidence), right, None, spoken.noise)
    turned = said is not None and {said.polarity, best.polarity} == {Polarity.PASS, Polarity.DEFECT}
    return Trial(dict(weighed.evidence), right, turned, spoken.noise)


def spoken_in(clips: Sequence[Clip], allowed_for: Callable[[Clip], Allowed], noisy: int = 1) -> Iterator[Spoken]:
    """Every clip clean, and one in so many in noise too, of one kind after the other; words that may not be said are
    strangers'. allowed_for: what may be said where the clip was."""
    pool, count = list(_voices(clips)), 0
    for clip in clips:
        try:
            sound = load_sound(clip.path)
        except BadAudio:
            continue
        allowed = allowed_for(clip)
        known = clip.words == SILENT or automaton_of(allowed).accepts(clip.words.split())
        words = clip.words if known else STRANGE
        yield Spoken(clip.path.name, sound, words, allowed)
        count += 1
        if pool and count % noisy == 0:
            kind, decibels = NOISES[count // noisy % len(NOISES)]
            noise = in_noise(sound, kind, decibels, pool, clip.path.name)
            yield Spoken(clip.path.name, noise, words, allowed, f"{kind} {decibels} dB")


def in_noise(sound: Sound, kind: str, decibels: float, pool: Sequence[Samples], name: str) -> Sound:
    """The sound in noise that depends on its name alone."""
    drawn, count = np.random.default_rng([SEED, zlib.crc32(name.encode())]), len(sound.samples)
    return mixed(sound, pink(count, drawn) if kind == "pink" else voices(count, pool, drawn), decibels)


def fitted(way: str, trials: Sequence[Trial], before: Calibration | None = None) -> Calibration:
    """The coefficients for this way of hearing. Raises ValueError where the recordings are too few.

    before: its line for opposites stays where too few were mistaken for each other to fit one.
    """
    right = fit_right(trials, RIGHT[way])
    # PocketSphinx looks for the opposite of passes only
    trials = [trial for trial in trials if trial.evidence.get("turned", 0.0) < FAR]
    if before and sum(bool(trial.opposed) for trial in trials) < LEAST_OPPOSED:
        return Calibration(right, before.opposite)
    return Calibration(right, fit_opposite(trials, OPPOSITE[way]))


def written(way: str, found: Calibration, note: str = "") -> str:
    """The coefficients of one way of hearing, as TOML."""
    lines = [note] if note else []
    for name, line in (("right", found.right), ("opposite", found.opposite)):
        weights = ", ".join(f"{evidence} = {weight}" for evidence, weight in line.weights.items())
        lines += [f"[{way}.{name}]", f"bias = {line.bias}", f"weights = {{ {weights} }}"]
    return "\n".join(lines) + "\n"


def missed_by(found: Calibration, trials: Sequence[Trial]) -> float:
    """Brier score of the probability of being right, 0 to 1."""
    return brier(found.right, trials)


def _voices(clips: Sequence[Clip]) -> Iterator[Samples]:
    for clip in clips:
        if clip.words != SILENT:
            try:
                yield load_sound(clip.path).samples
            except BadAudio:
                continue
