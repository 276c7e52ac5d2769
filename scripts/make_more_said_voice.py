"""Generate the recordings of tests/audio/more_said: one folder for each question, each file named
after its words.

Run: python -m scripts.make_more_said_voice (needs the Debian packages flite and espeak-ng)

`more` holds recordings that begin like a pass but are not one; `alone` holds the pass.
"""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path

from doorround.hearing.audio.sound import RATE

AUDIO = Path(__file__).resolve().parent.parent / "tests" / "audio" / "more_said"
QUIET = 0.4
"""Seconds of quiet before and after."""

MORE = {
    "closer.full": (
        "closes fully, sometimes",
        "shuts if you push it",
        "closes fully apart from the latch",
        "closes fully, I wish",
        "closes by itself, nine times out of ten",
        "closes and latches with a shove",
    ),
    "hinges.fixings": (
        "all tight bar one",
        "they used to be tight",
        "all tight, except the top one",
        "tight, ish",
    ),
    "clear": (
        "clear, bar the bin",
        "all clear, once I moved the boxes",
        "nothing there, apart from a chair",
    ),
    "glass.here": (
        "whole apart from a chip",
        "whole and firm, but scratched",
        "no cracks, bar one",
    ),
    "sign.here": (
        "readable but wrong",
        "right and readable, last year",
        "there and readable, from close up",
    ),
    "frame.here": (
        "frame fine apart from a crack, three hinges",
        "undamaged, except by the lock",
        "sound, more or less, no",
    ),
    "hold_open": ("it lets go, after a kick", "it releases, on a good day"),
}
ALONE = {
    "closer.full": ("closes fully", "closes by itself"),
    "hinges.fixings": ("all tight",),
    "clear": ("all clear", "nothing there"),
    "glass.here": ("whole and firm",),
    "sign.here": ("right and readable",),
    "frame.here": ("undamaged",),
    "hold_open": ("it lets go",),
}


def name_of(words: str) -> str:
    """The file for these words."""
    return f"{re.sub(r'[^a-z]+', '-', words.lower()).strip('-')}.ogg"


def main() -> None:
    """Generate all recordings, one voice after another."""
    synthesisers = import_module("tests.benchmarks.synthesisers")
    make_voice = import_module("scripts.make_voice")
    voices = synthesisers.present(synthesisers.MEASURE_VOICES)
    place = 0
    for kind, said in (("more", MORE), ("alone", ALONE)):
        for key, phrases in said.items():
            (AUDIO / kind / key).mkdir(parents=True, exist_ok=True)
            for words in phrases:
                sound = synthesisers.in_quiet(
                    synthesisers.said_by(voices[place % len(voices)], words), QUIET, place
                )
                samples = make_voice.resampled(sound.samples, RATE, make_voice.RATE)
                make_voice.save(samples, AUDIO / kind / key / name_of(words))
                place += 1


if __name__ == "__main__":
    main()
