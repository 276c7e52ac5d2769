"""Generate the recordings of tests/audio. Each file is named after its words, or after its contents
if there is no speech.

Run: python scripts/make_test_voice.py
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))
from voice_phrases import (
    ANSWERS,
    ASKED,
    BREATH,
    CLEARED,
    COMMANDS,
    COUNTERED,
    DENIED,
    DOORS,
    ELSEWHERE,
    HELD_OPEN,
    NEGATED,
    OWN,
    SAID,
    SOFTENED,
    STRANGE,
    UNFINISHED,
)

from make_voice import RATE, Samples, in_a_room, rumble, save, silence, spoken

AUDIO = Path(__file__).resolve().parent.parent / "tests" / "audio"

VOICES = ((1.0, 1.0), (0.9, 0.88), (1.15, 1.12))
"""Speed and pitch, in turn: as it is, slow and low, quick and high."""


PAUSE_S = 0.8


FOLDERS = (
    *("said", "nothing", "breath", "doors", "asked", "commands", "negated"),
    *("denied", "own", "answers", "unfinished", "held_open", "elsewhere"),
)


def named(words: str) -> str:
    """The file name for some words."""
    return words.replace(" ", "-") + ".ogg"


def babble() -> Samples:
    """Six sentences at once, none of them intelligible."""
    voices = [spoken(words, *voice) for words in STRANGE for voice in VOICES[1:]]
    longest = max(map(len, voices))
    mixed: Samples = np.mean([np.resize(each, longest) for each in voices], axis=0).astype(
        np.float32
    )
    return mixed


def breath() -> Samples:
    """Several answers with a pause between them."""
    pause = silence(PAUSE_S)
    return np.concatenate([part for words in BREATH for part in (spoken(words), pause)][:-1])


def hammering() -> Samples:
    """Someone at work next door: a dull blow every 0.6 s."""
    time = np.arange(3 * RATE) / RATE % 0.6
    blow = np.exp(-time * 30) * np.sin(2 * np.pi * 140 * time)
    return (0.5 * blow + silence(3.0)).astype(np.float32)


def make_negated() -> None:
    """Generate the files of NEGATED, COUNTERED, SOFTENED and CLEARED."""
    make_at_questions("negated", NEGATED, COUNTERED, SOFTENED, CLEARED)


def make_at_questions(folder: str, *tables: Mapping[str, tuple[str, ...]]) -> None:
    """Generate a file for each answer at its question, named question, two hyphens, words."""
    pairs = [(key, words) for table in tables for key, said in table.items() for words in said]
    for index, (key, words) in enumerate(pairs):
        save(
            in_a_room(spoken(words, *VOICES[index % len(VOICES)])),
            AUDIO / folder / f"{key}--{named(words)}",
        )


def main() -> None:
    """Generate all files."""
    for folder in FOLDERS:
        (AUDIO / folder).mkdir(parents=True, exist_ok=True)
    for folder, phrases in (
        ("said", SAID),
        ("doors", DOORS),
        ("asked", ASKED),
        ("commands", COMMANDS),
    ):
        for index, words in enumerate(phrases):
            voice = spoken(words, *VOICES[index % len(VOICES)])
            save(in_a_room(voice), AUDIO / folder / named(words))
    make_negated()
    make_at_questions("denied", DENIED)
    make_at_questions("own", OWN)
    make_at_questions("answers", ANSWERS)
    make_at_questions("unfinished", UNFINISHED)
    make_at_questions("held_open", HELD_OPEN)
    make_at_questions("elsewhere", ELSEWHERE)
    for words in STRANGE:
        name = f"talk-{named(' '.join(words.split()[:4]))}"
        save(in_a_room(spoken(words)), AUDIO / "nothing" / name)
    others = {
        "quiet-room": silence(2.0),
        "lorry-passing": rumble(4.0),
        "babble": babble(),
        "hammering": hammering(),
    }
    for name, samples in others.items():
        save(in_a_room(samples), AUDIO / "nothing" / f"{name}.ogg")
    name = "--".join(BREATH).replace(" ", "-")
    save(in_a_room(breath()), AUDIO / "breath" / f"{name}.ogg")


if __name__ == "__main__":
    main()
