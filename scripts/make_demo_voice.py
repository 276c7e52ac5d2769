"""Generate the voice files of demo_conversations/: every line "caretaker (voice): …" of every
script.

Run: python scripts/make_demo_voice.py [--all]   (without --all, only missing files)
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from doorround.channels.replay.transcript import read_script

sys.path.insert(0, str(Path(__file__).resolve().parent))
from make_voice import Samples, in_a_room, rumble, save, silence, spoken

DEMO = Path(__file__).resolve().parent.parent / "demo_conversations"
PAUSE_S = 0.8
"""Seconds of "…": as long as a person looks at the next part."""

NOT_ANSWERS = {
    "[silence]": lambda: silence(2.0),
    "[lorry passing]": lambda: rumble(4.0),
    "[talking about lunch]": lambda: spoken(
        "shall we have the soup today or go to the bakery again"
    ),
}


def samples(words: str) -> Samples:
    """The audio of a line: float32, mono, at make_voice's sample rate."""
    if words in NOT_ANSWERS:
        return NOT_ANSWERS[words]()
    said = (part.strip() for part in words.split("…"))
    parts = [NOT_ANSWERS[part]() if part in NOT_ANSWERS else spoken(part) for part in said]
    pause = silence(PAUSE_S)
    joined = [parts[0]]
    for part in parts[1:]:
        joined += [pause, part]
    return in_a_room(np.concatenate(joined))


def main() -> None:
    """Generate missing files, or all of them with --all."""
    for script in sorted(DEMO.glob("*.talk")):
        read = read_script(script)
        for words in read.spoken:
            path = read.recording(words)
            if "--all" in sys.argv or not path.exists():
                path.parent.mkdir(exist_ok=True)
                save(samples(words), path)
                print(path.name)


if __name__ == "__main__":
    main()
