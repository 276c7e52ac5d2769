"""Clips in quiet that begin and end with speech: how many are read back, and how many get the
advice that others may be talking.

Run: python -m tests.benchmarks.bench_no_edges [--voice "flite slt"] [--count 80] [--edge 0]

Phrases that pass and say all that was asked, of the measuring half, each in one voice that nothing
is fitted on, cut to its sound. With little else in a clip, the background between the words is all
there is to measure. The whole of a turn is heard, as in a talk.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice
from pathlib import Path

import numpy as np

from doorround.config.resources import pronunciations
from doorround.domain.input_result import AnyHeard, Heard, Unsure
from doorround.hearing.audio.sound import sound_of
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.messages.recordings import OTHER_VOICES
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at
from tests.benchmarks.more_said import Case, phrases, says_all
from tests.benchmarks.synthesisers import MEASURE_VOICES, in_quiet, said_by

VOICE = MEASURE_VOICES[0]
EMPTY = sound_of(np.zeros(0, np.float32))


def cases(voice: str, count: int, edge: float) -> Iterator[Case]:
    """So many phrases, each cut to its sound. edge: seconds of quiet before and after."""
    named = (
        Case(f"{question} {place}", question, phrase, "right", voice, EMPTY, phrase)
        for place, (question, phrase) in enumerate(phrases("measure", Polarity.PASS))
    )
    for place, case in enumerate(islice(filter(says_all, named), count)):
        yield replace(case, sound=in_quiet(said_by(voice, case.phrase), edge, place))


def outcome(heard: AnyHeard) -> str:
    """Entered, read back or asked again."""
    if isinstance(heard, Heard):
        return "entered at once"
    return "read back" if isinstance(heard, Unsure) else "asked again"


def advised(heard: AnyHeard) -> bool:
    """Whether the speaker is told that others may be talking."""
    return not isinstance(heard, Heard) and heard.advice == OTHER_VOICES


def report(heard: list[tuple[Case, AnyHeard]]) -> str:
    """Counts as Markdown, and each that was not entered at once."""
    counts = Counter(outcome(each) for _, each in heard)
    names = ("entered at once", "read back", "asked again")
    cells = [len(heard), *(counts[name] for name in names), sum(advised(each) for _, each in heard)]
    lines = [
        f"| clips | {' | '.join(names)} | “{OTHER_VOICES}” |",
        "|---" * 5 + "|",
        "| " + " | ".join(map(str, cells)) + " |",
        "",
    ]
    lines += [
        f'- {outcome(each)}, {case.question}: "{case.phrase}", {why(each)}'
        for case, each in heard
        if outcome(each) != "entered at once"
    ]
    return "\n".join(lines)


def why(heard: AnyHeard) -> str:
    """The reason given for a read-back, and the advice, where there is one."""
    if isinstance(heard, Heard):
        return "entered"
    hearing = heard.guesses[0].said[0].hearing if isinstance(heard, Unsure) else None
    told = (hearing.why if hearing else None, heard.advice)
    return "; ".join(filter(None, told)) or "not sure enough"


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--voice", default=VOICE)
    parser.add_argument("--count", type=int, default=80)
    parser.add_argument("--edge", type=float, default=0.0, help="Seconds of quiet at each end.")
    options = parser.parse_args()
    pipeline = choose_engines(
        Path("models-not-looked-at"), "auto", pronunciations=pronunciations()
    ).pipeline
    interpreter = load_understanding()
    heard = [
        (case, recognise_turn(pipeline, interpreter, case.sound, allowed_at(case.question)[1]))
        for case in cases(options.voice, options.count, options.edge)
    ]
    print(report(heard))


if __name__ == "__main__":
    main()
