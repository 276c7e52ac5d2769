"""One sound door by voice: turns, seconds, memory, and time to the first question.

Run: python -m tests.benchmarks.bench_visit

Figures are ratios to a baseline from the same run: the recording's length, the same visit typed, or
a bare Python.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import timedelta
from pathlib import Path

from doorround.channels.replay.transcript import Script, read_script
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.config.resources import load_checklist
from doorround.config.settings import Settings, read_settings
from doorround.hearing.audio.decoding import load_sound
from doorround.logbook.store import Logbook
from doorround.opened_logbook import open_logbook
from doorround.wiring import EngineLoader, make_talk

SCRIPT = Path(__file__).parents[2] / "demo_conversations" / "corridor-all-sound.talk"
ROUNDS = 3


def visit(script: Script, talk: Talk, start: timedelta, voice: bool) -> list[float]:
    """Seconds of each turn."""
    talk.begin(script.doors[0].number, load_checklist(), script.at + start)
    took = []
    for number, line in enumerate(line for line in script.lines if line.who == "caretaker"):
        recording = script.recording(line.text).read_bytes() if voice else None
        incoming = Incoming(
            f"{talk.chat}/{number}", recording=recording, text=None if voice else line.text
        )
        began = time.perf_counter()
        talk.take(incoming, script.at + start + timedelta(seconds=number + 1))
        took.append(time.perf_counter() - began)
    assert talk.check is None, "the visit did not end signed"
    return took


def to_first_question(settings: Settings) -> tuple[float, float]:
    """Seconds until `doorround chat` shows its first question; seconds for a bare Python to start
    and end.
    """
    environment = {**os.environ, "DOORROUND_HOME": str(settings.home)}
    began = time.perf_counter()
    chat = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "from doorround.cli.app import main; main()",
            "chat",
            "--door",
            "104",
            "--person",
            "bench",
        ],
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
    )
    assert chat.stdout and chat.stdin
    shown = next(line for line in chat.stdout if "oorway clear" in line)
    assert shown
    first = time.perf_counter() - began
    chat.stdin.close()
    chat.wait()
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", "pass"], check=True)
    return first, time.perf_counter() - began


def memory_mb() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def main() -> None:
    """Measure and print."""
    script = read_script(SCRIPT)
    words = [line.text for line in script.lines if line.who == "caretaker"]
    audio = sum(load_sound(script.recording(text)).seconds for text in words)
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        settings = read_settings({"DOORROUND_HOME": folder})
        ears = EngineLoader(settings)
        logbook: Logbook = open_logbook(settings)
        logbook.add_door(script.doors[0], "bench", script.at)
        typed = []
        spoken = []
        for round_ in range(ROUNDS):
            for voice, kept in ((False, typed), (True, spoken)):
                talk = make_talk(f"{round_}{voice}", "bench", logbook, ears, settings)
                kept.append(visit(script, talk, timedelta(days=round_, hours=voice), voice))
            if round_ == 0:
                before = memory_mb()
        logbook.close()
        first, bare = to_first_question(settings)
    again = [statistics.median(turns) for turns in zip(*spoken[1:], strict=True)]
    print(f"turns for an all-sound corridor door by voice | {len(words)}")
    print(f"seconds spoken | {audio:.1f}")
    print(
        f"seconds of hearing and answering, first visit | {sum(spoken[0]):.1f}"
        f" ({sum(spoken[0]) / audio:.2f} × spoken)"
    )
    print(f"… later visits | {sum(again):.1f} ({sum(again) / audio:.2f} × spoken)")
    print(f"median turn, later visits | {statistics.median(again) * 1000:.0f} ms")
    print(
        f"the same visit typed | {sum(typed[-1]):.2f} s (spoken takes"
        f" {sum(again) / sum(typed[-1]):.0f} ×)"
    )
    print(f"until the first question | {first:.2f} s ({first / bare:.0f} × a bare Python)")
    print(f"peak memory after one visit, after {ROUNDS} | {before} MB, {memory_mb()} MB")


if __name__ == "__main__":
    main()
