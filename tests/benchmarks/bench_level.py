"""How loud, quiet or noisy a recording may be before accuracy suffers: the basis for the limits on
levels.

Run: DOORROUND_SPEECH=FOLDER python -m tests.benchmarks.bench_level

50 clips from the tuning half of the speakers, ten words, the installed engines; one line for each
condition.
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

from doorround.hearing.adaptation.labelled_clips import read_clips
from doorround.hearing.audio import decoding
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.level import advice_on
from doorround.hearing.audio.sound import Samples, Sound, sound_of
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from tests.benchmarks.noise import mixed, pink, voices

TEN = ("yes", "no", "up", "down", "left", "right", "on", "off", "stop", "go")
CLIPS = 50
SEED = 1


def conditions(pool: list[Samples]) -> Iterator[tuple[str, Callable[[Sound], Sound]]]:
    """Name of a condition, and what makes it of a clean recording."""
    random = np.random.default_rng(SEED)
    yield "clean", lambda sound: sound
    for times in (2, 5, 10, 30):
        yield (
            f"clipped x{times}",
            lambda sound, times=times: sound_of(np.clip(sound.samples / sound.peak * times, -1, 1)),
        )
    for under in (10, 30, 50):
        yield (
            f"peak at -{under} dB",
            lambda sound, under=under: sound_of(sound.samples / sound.peak * 10 ** (-under / 20)),
        )
    for decibels in (20, 10, 5, 0):
        yield (
            f"pink {decibels} dB",
            lambda sound, decibels=decibels: mixed(
                sound, pink(len(sound.samples), random), decibels
            ),
        )
        yield (
            f"voices {decibels} dB",
            lambda sound, decibels=decibels: mixed(
                sound, voices(len(sound.samples), pool, random), decibels
            ),
        )


def main() -> None:
    """Measure and print."""
    folder = os.environ.get("DOORROUND_SPEECH")
    if not folder:
        sys.exit("Set DOORROUND_SPEECH to a folder of labelled clips with a manifest.csv.")
    limit, decoding.TOO_CLIPPED = (
        decoding.TOO_CLIPPED,
        2.0,
    )  # hear what the limit would turn away as well
    clips = [
        (clip.words, load_sound(clip.path))
        for clip in read_clips(Path(folder))
        if clip.for_tuning and clip.words in TEN
    ]
    worst = max(sound.clipped for _, sound in clips)
    print(
        f"{len(clips)} clips, {sum(sound.clipped > limit for _, sound in clips)} turned away, worst"
        f" share {worst:.2f}"
    )
    some = [clips[place] for place in np.random.default_rng(SEED).permutation(len(clips))[:CLIPS]]
    ear, grammar = (
        choose_engines(Path("models-not-looked-at"), "auto").pipeline,
        grammar_of_phrases(TEN),
    )
    print(
        "| | right | right and accepted | wrong accepted | turned away | median share clipped "
        "| not accepted, hinted at | hints |\n" + "|---" * 8 + "|"
    )
    for name, make in conditions([sound.samples for _, sound in some]):
        count, shares, hints = Counter[str](), [], Counter[str]()
        for words, clean in some:
            sound = make(clean)
            heard = ear.listen(sound, grammar)
            right = heard.phrase == words
            accepted = heard.outcome is Outcome.HEARD
            hint = advice_on(sound)
            count.update(right=right, kept=right and accepted, wrong=accepted and not right)
            count.update(
                away=sound.clipped > limit,
                lost=not accepted,
                told=not accepted and hint is not None,
            )
            hints.update([hint.partition(".")[0]] if hint else [])
            shares.append(sound.clipped)
        cells = [count[each] for each in ("right", "kept", "wrong", "away")]
        told = ", ".join(f"{hint.lower()} {times}" for hint, times in hints.most_common())
        print(
            f"| {name} | {' | '.join(map(str, cells))} | {np.median(shares):.2f} | {count['told']}"
            f" of {count['lost']} | {told} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
