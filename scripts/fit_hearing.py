"""Fit bot/hearing/calibration.toml on the tuning half of the speakers of a folder of labelled clips.

Run: python scripts/fit_hearing.py FOLDER   (the folder of DOORROUND_SPEECH; some ten minutes on two cores)
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from bot.hearing.audio import BadAudio, load_sound
from bot.hearing.calibration import FILE
from bot.hearing.clips import SILENT, Clip, read_clips
from bot.hearing.ear import Ear, choose_engines
from bot.hearing.fitting import Fitted, Trial, fit
from bot.hearing.phrases import allowed_from_phrases

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEN = ("yes", "no", "up", "down", "left", "right", "on", "off", "stop", "go")
LISTS = {
    "yes/no": ("yes", "no"),
    "ten": TEN,
    "digits": DIGITS,
    "ways": ("up", "down", "left", "right"),
    "switches": ("on", "off", "stop", "go"),
    "even": ("zero", "two", "four", "six", "eight"),
}
GATING = ("yes/no", "ten")
"""Lists whose refused answers set the probability from which a phrase is heard: wide-band, as voice notes are."""

EVIDENCE = {
    "pair": ("total", "margin", "decoy", "agree"),
    "listener": ("total", "margin", "decoy"),
    "pocketsphinx": ("loop", "gap", "log_frames", "voice"),
}
OPPOSITE = {"pair": 3.0, "listener": 3.0, "pocketsphinx": 25.0}
"""Nats to the opposite meaning: with these no human "no" was taken for a "yes" when clean or at pink noise of 10 dB."""

VOSK = """
# No English Vosk model could be had to measure with, so this is a prior and no fit: every word of confidence 1 gives
# 0.73, under `heard`: alone, Vosk only offers back what it heard. With the listener as judge, "pair" is used.
[vosk]
bias = -3.0
heard = 0.8
unsure = 0.1
opposite = 0.0
weights = { confidence = 4.0 }
"""


def trials(ear: Ear, clips: list[Clip], phrases: tuple[str, ...]) -> Iterator[Trial]:
    """Every clip heard for these phrases; words that are not among them can only be taken wrongly."""
    allowed = allowed_from_phrases(phrases)
    for clip in clips:
        try:
            sound = load_sound(clip.path)
        except BadAudio:
            continue
        weighed = ear.weigh(sound, allowed) if ear.anyone_speaks(sound) else None
        if weighed and weighed.guesses:
            yield Trial(dict(weighed.evidence), weighed.guesses[0].phrase == clip.words)


def fitted(way: str, engine: str, clips: list[Clip]) -> Fitted:
    """The coefficients of one way of hearing."""
    ear = choose_engines(Path("models-not-looked-at"), engine).ear
    found = {name: list(trials(ear, _of_kind(clips, phrases), phrases)) for name, phrases in LISTS.items()}
    everything = [trial for some in found.values() for trial in some]
    return fit(everything, EVIDENCE[way], [trial for name in GATING for trial in found[name]])


def _of_kind(clips: list[Clip], phrases: tuple[str, ...]) -> list[Clip]:
    digits = set(phrases) <= set(DIGITS)
    return [clip for clip in clips if clip.words != SILENT and (clip.words in DIGITS) == digits]


def table(way: str, found: Fitted) -> str:
    """One table of the file."""
    weights = ", ".join(f"{name} = {weight}" for name, weight in found.weights.items())
    return (
        f"[{way}]\nbias = {found.bias}\nheard = {found.heard}\nunsure = {found.unsure}\n"
        f"opposite = {OPPOSITE[way]}\nweights = {{ {weights} }}\n"
    )


def main() -> None:
    """Fit all ways of hearing and write the file."""
    clips = [clip for clip in read_clips(Path(sys.argv[1])) if clip.for_tuning]
    engines = {"pair": "auto", "listener": "listener", "pocketsphinx": "pocketsphinx"}
    with ProcessPoolExecutor(2) as pool:
        found = pool.map(fitted, engines, engines.values(), [clips] * len(engines))
        tables = [table(way, each) for way, each in zip(engines, found, strict=True)]
    head = f"# Made by scripts/fit_hearing.py from {len(clips)} clips of the tuning half of the speakers.\n"
    FILE.write_text("\n".join([head.strip(), *tables]) + VOSK, encoding="utf-8")


if __name__ == "__main__":
    main()
