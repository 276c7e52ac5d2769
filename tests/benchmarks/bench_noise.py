"""Recognition of yes and no, strangers' words and silence in every noise, compared with
faster-whisper's own transcription.

Run, with DOORROUND_SPEECH set: python -m tests.benchmarks.bench_noise --work FILE [--few N]
[--minutes N] [--save-wrong TO]

Reporting half of the speakers only. Each trial adds one line of JSON to the work file; a restarted
run resumes there. The noise of a trial is seeded by its clip and condition alone, so that a wrong
pass can be reproduced.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from doorround.channels.terminal.terminal import as_wav
from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE, LabelledClip, read_clips
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import Samples, Sound, UnusableAudio
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.active_grammar import ActiveGrammar
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.model_files.weights import find_weights
from tests.benchmarks.bench_hearing import as_it_comes
from tests.benchmarks.hearing_page import beside, table, wrong_passes
from tests.benchmarks.noise import KINDS, mixed, noise_of

LEVELS = {kind: (15, 10, 5, 0) if kind in ("pink", "voices") else (10, 0) for kind in KINDS}
CONDITIONS = (
    "clean",
    *(f"{kind} {decibels} dB" for kind, some in LEVELS.items() for decibels in some),
)
MODELS = Path("models-not-looked-at")


def name_of(clip: LabelledClip) -> str:
    """Folder and file: the same speaker's file is called alike in the folder of every word."""
    return f"{clip.path.parent.name}/{clip.path.name}"


def seed_of(clip: LabelledClip, condition: str) -> int:
    """The seed of one trial's noise."""
    return int.from_bytes(
        hashlib.sha256(f"{name_of(clip)} {condition}".encode()).digest()[:4], "big"
    )


def made(sound: Sound, clip: LabelledClip, condition: str, pool: list[Samples]) -> Sound:
    """The clip in one condition."""
    if condition == "clean" or not sound.peak:
        return sound
    kind, decibels, _ = condition.split()
    noise = noise_of(
        kind, len(sound.samples), pool, np.random.default_rng(seed_of(clip, condition))
    )
    return mixed(sound, noise, float(decibels))


def transcriber() -> Any:
    """faster-whisper's own transcription, English, with the weights that the listener has."""
    from faster_whisper import WhisperModel

    return WhisperModel(str(find_weights(MODELS)), device="cpu", compute_type="int8", cpu_threads=1)


def written(model: Any, sound: Sound) -> tuple[str, float]:
    """What it writes, letters only in lower case, and seconds spent."""
    began = time.perf_counter()
    text = "".join(part.text for part in model.transcribe(sound.samples, language="en")[0])
    kept = "".join(letter for letter in text.lower() if letter.isalpha() or letter == " ").strip()
    return kept, time.perf_counter() - began


def wav(sound: Sound) -> bytes:
    """A recording as a WAV file."""
    return as_wav((np.clip(sound.samples, -1, 1) * 32767).astype("<i2").tobytes())


def keep(sound: Sound, path: Path) -> None:
    """Write a recording as WAV."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(wav(sound))


def others(clips: list[LabelledClip], many: int) -> Callable[[Sound, LabelledClip], dict[str, Any]]:
    """What a transcription and PocketSphinx with its own settings make of the first so many yes and
    no.
    """
    asked = {
        name_of(clip) for clip in [clip for clip in clips if clip.words in ("yes", "no")][:many]
    }
    model = transcriber()
    plain = as_it_comes()
    grammar = grammar_of_phrases(("yes", "no"))

    def hear(sound: Sound, clip: LabelledClip) -> dict[str, Any]:
        if name_of(clip) not in asked:
            return {}
        text, spent = written(model, sound)
        phrase, _, seconds, _ = plain(sound, grammar)
        return {
            "written": text,
            "written_seconds": spent,
            "plain": phrase,
            "plain_seconds": seconds,
        }

    return hear


def hear(clips: list[LabelledClip], sounds: dict[str, Sound], options: argparse.Namespace) -> None:
    """Every trial that the work file lacks, one line each; after the minutes given, no clip more is
    begun.
    """
    work = options.work
    wrong = options.save_wrong
    ends = time.monotonic() + 60 * (options.minutes or 1e6)
    done = {(row["clip"], row["condition"]) for row in read(work)}
    ear = choose_engines(MODELS, "auto").pipeline
    grammar = grammar_of_phrases(("yes", "no"))
    pool = [sounds[name_of(clip)].samples for clip in clips if clip.words not in (SILENT, STRANGE)]
    beside_us = others(clips, options.beside)
    with work.open("a", encoding="utf-8") as stream:
        for clip in clips:
            if time.monotonic() > ends:
                break
            for condition in CONDITIONS:
                if (name_of(clip), condition) not in done:
                    sound = made(sounds[name_of(clip)], clip, condition, pool)
                    row = trial(ear.listen, sound, clip, condition, grammar)
                    if condition == "clean":
                        row |= beside_us(sound, clip)
                    if wrong and row["wrong_pass"]:
                        keep(
                            sound,
                            wrong
                            / f"{name_of(clip)}-{condition}.wav".replace("/", "-").replace(
                                " ", "-"
                            ),
                        )
                    stream.write(json.dumps(row) + "\n")
                    stream.flush()


def trial(
    listen: Any, sound: Sound, clip: LabelledClip, condition: str, grammar: ActiveGrammar
) -> dict[str, Any]:
    """One recording heard."""
    heard = listen(sound, grammar)
    accepted = heard.outcome is Outcome.HEARD
    return {
        "clip": name_of(clip),
        "source": clip.source,
        "words": clip.words,
        "condition": condition,
        "phrase": heard.phrase,
        "outcome": heard.outcome.value,
        "accepted": accepted,
        "probability": heard.probability,
        "seconds": heard.seconds,
        "length": sound.seconds,
        "wrong_pass": accepted and heard.phrase == "yes" and clip.words != "yes",
    }


def read(work: Path) -> list[dict[str, Any]]:
    """The trials so far."""
    return (
        [json.loads(line) for line in work.read_text(encoding="utf-8").splitlines()]
        if work.exists()
        else []
    )


def main() -> None:
    """Go on with the work file and print its table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument(
        "--few", type=int, default=0, help="So many clips only, drawn over all kinds."
    )
    parser.add_argument(
        "--minutes", type=float, help="Stop after so long; the clips heard so far are whole."
    )
    parser.add_argument(
        "--beside", type=int, default=40, help="So many clean yes and no are heard by others too."
    )
    parser.add_argument("--save-wrong", type=Path)
    options = parser.parse_args()
    folder = os.environ.get("DOORROUND_SPEECH") or sys.exit(
        "Set DOORROUND_SPEECH to a folder of labelled clips."
    )
    asked = [
        c
        for c in read_clips(Path(folder))
        if not c.for_tuning and c.words in ("yes", "no", STRANGE, SILENT)
    ]
    sounds: dict[str, Sound] = {}
    clips = sorted(asked, key=lambda clip: seed_of(clip, ""))[: options.few or None]
    for clip in clips:
        try:
            sounds[name_of(clip)] = load_sound(clip.path)
        except UnusableAudio as bad:
            print(f"Refused: {name_of(clip)}: {bad}", file=sys.stderr)
    hear([clip for clip in clips if name_of(clip) in sounds], sounds, options)
    rows = read(options.work)
    print("\n\n".join((table(rows), beside(rows), wrong_passes(rows))))


if __name__ == "__main__":
    main()
