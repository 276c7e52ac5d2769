"""One long voice note: memory and recognition time, as ratios to the shortest note. Each note runs
in its own process.

Run: python -m tests.benchmarks.bench_long_note [SECONDS …]   (default: 30 90 180)

The notes repeat the demo's whole door in one note, over faint room noise, for the given time. Its
12 answers come within 40 s; the repetitions after that answer nothing.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from doorround.channels.replay.transcript import read_script
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import start_check
from doorround.domain.input_result import Heard, Unsure
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, Samples, Sound, sound_of
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.wiring import EngineLoader, load_understanding

SCRIPT = Path(__file__).parents[2] / "demo_conversations" / "whole-door-in-one-note.talk"
LENGTHS = (30, 90, 180)
PAUSE_S = 1.0
ROOM = 1e-3
SEED = 3


@dataclass(frozen=True)
class Measured:
    """Of one note: seconds of it, seconds heard in, peak memory before and after, answers, pieces
    not understood.
    """

    seconds: float
    took: float
    before_mb: int
    peak_mb: int
    answers: int
    lost: int


def note(seconds: float) -> Sound:
    """A voice note of just this length: spoken answers, pauses, a faint room."""
    script = read_script(SCRIPT)
    clips = [load_sound(script.recording(script.spoken[0])).samples]
    pause = np.zeros(round(PAUSE_S * RATE), np.float32)
    parts: list[Samples] = []
    count, place = 0, 0
    while count < seconds * RATE:
        parts += [clips[place % len(clips)], pause]
        count += len(parts[-2]) + len(pause)
        place += 1
    samples = np.concatenate(parts)[: round(seconds * RATE)]
    room = np.random.default_rng(SEED).standard_normal(len(samples), dtype=np.float32) * np.float32(
        ROOM
    )
    return sound_of(samples + room)


def peak_mb() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def measured(seconds: float) -> Measured:
    """Hear one note, engines warm: a first short note is heard before."""
    script = read_script(SCRIPT)
    understanding = load_understanding()
    with tempfile.TemporaryDirectory() as home:
        ear = EngineLoader(read_settings({"DOORROUND_HOME": home}))()
        turn = start_check("bench", script.doors[0], "bench", load_checklist(), script.at)
        recognise_turn(ear, understanding, note(5), expected_input(turn.check))
        sound = note(seconds)
        before = peak_mb()
        began = time.perf_counter()
        heard = recognise_turn(ear, understanding, sound, expected_input(turn.check))
        took = time.perf_counter() - began
    whole = (
        heard
        if isinstance(heard, Heard)
        else heard.guesses[0]
        if isinstance(heard, Unsure)
        else None
    )
    answers, lost = (len(whole.said), len(whole.unheard)) if whole else (0, 0)
    return Measured(sound.seconds, took, before, peak_mb(), answers, lost)


def apart(seconds: float) -> Measured:
    """The same in a process of its own, so that no peak is another note's."""
    code = f"from tests.benchmarks.bench_long_note import measured; print(measured({seconds}))"
    out = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    ).stdout
    result = eval(out.strip().splitlines()[-1], {"Measured": Measured})
    assert isinstance(result, Measured)
    return result


def main() -> None:
    """Measure and print."""
    rows = [apart(float(length)) for length in sys.argv[1:] or LENGTHS]
    base = rows[0]
    print(
        "note | hearing, s a second (× the first) | peak MB (× the first) | more than a short note,"
        " MB | heard | lost"
    )
    for row in rows:
        pace = row.took / row.seconds
        base_pace = base.took / base.seconds
        hearing = f"{pace:.2f} ({pace / base_pace:.2f})"
        peak = f"{row.peak_mb} ({row.peak_mb / base.peak_mb:.2f})"
        print(
            f"{row.seconds:.0f} s | {hearing} | {peak} | {row.peak_mb - row.before_mb} |"
            f" {row.answers} | {row.lost}"
        )


if __name__ == "__main__":
    main()
