"""Answers in caretakers' own words, spoken: `python -m tests.benchmarks.bench_own_words --said FILE
[--each 40] [--noise] [--part 1/4] [--work ROWS]`.

FILE as for bench_understanding, or "fit" or "measure", for that half of the grammar's own phrases.
Voices that nothing was tuned on, in a quiet room and, with --noise, in pink noise of 10 dB. Counted
as there, each as the dialogue would act on a recording: entered, read back or offered; a fault by
its own name where the table has it. A pass that must not be, entered unasked, is printed. With
--work each trial becomes a line of JSON with its evidence; what the file has is not heard again,
and the report is of all. Times are of the processor, all threads together, as a multiple of the
recording's length: the machine may be busy.
"""

from __future__ import annotations

import argparse
import csv
import json
import random
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
from rapidfuzz.distance import Levenshtein

from doorround.channels.talk.second_reading import read_beside, understood_alone
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.domain.input_result import AnyHeard
from doorround.hearing.audio.noise import mixed, pink
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech
from doorround.hearing.decision.coverage import beyond
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.recogniser import Recognition
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.hearing.session.question_grammar import grammar_now
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.understanding.understand import Understanding
from doorround.understanding.understanding_result import NOTHING, Understood
from doorround.wiring import EngineLoader, load_understanding
from tests.benchmarks.bench_understanding import (
    REACHED,
    expected_at,
    outcome,
    report,
    right_by,
    told,
)
from tests.benchmarks.more_said import phrases
from tests.benchmarks.synthesisers import in_quiet, level, present, said_by

VOICES = ("flite slt", "flite rms", "espeak-ng en-gb-x-rp", "espeak-ng en-gb-scotland")
NOISE_DB = 10.0
EDGE = 0.5
"""Seconds of quiet before and after."""


def rows(path: Path, each: int, seed: int) -> list[dict[str, str]]:
    """So many rows of each kind of expectation, drawn from the table."""
    kinds: dict[str, list[dict[str, str]]] = defaultdict(list)
    for row in of_grammar(path.name) or csv.DictReader(path.open(encoding="utf-8")):
        if row["expected"] in ("S", "D", "X"):
            kinds[row["expected"]].append(row)
    drawn = random.Random(seed)
    return [
        row for of_kind in kinds.values() for row in drawn.sample(of_kind, min(each, len(of_kind)))
    ]


def of_grammar(half: str) -> list[dict[str, str]]:
    """Phrases that the grammar has of how parts are, of the half "fit" or "measure"; none for any
    other name.
    """
    if half not in ("fit", "measure"):
        return []
    return [
        {"question": key, "words": words, "expected": expected}
        for expected, polarity in (("S", Polarity.PASS), ("D", Polarity.DEFECT))
        for key, words in phrases(half, polarity)
        if load_checklist().ask(key).kind == "condition"
    ]


def sounds(words: str, voice: str, noise: bool, seed: int) -> Sound:
    sound = in_quiet(level(said_by(voice, words)), EDGE, seed)
    if not noise:
        return sound
    return mixed(sound, pink(len(sound.samples), np.random.default_rng(seed)), NOISE_DB)


def acted_on(heard: AnyHeard, key: str, second: Understanding) -> Understood:
    """What the dialogue would do."""
    allowed = expected_at(key)
    if heard.kind == "unsure":
        heard = read_beside(heard, second.understand, allowed)
    if heard.kind == "heard":
        hedged = any(said.hedged for said in heard.said)
        return Understood("read_back" if hedged else "entered", heard.said)
    if heard.kind == "unsure":
        return Understood("read_back", heard.guesses[0].said)
    if heard.kind != "off_grammar":
        return NOTHING
    return understood_alone(heard, second.understand, allowed) or NOTHING


def cases(given: argparse.Namespace) -> Iterator[tuple[int, dict[str, str], str, bool]]:
    """Place, row, voice, and whether in noise, of each trial."""
    voices = given.voice or present(VOICES)
    quiet = (False,) if given.noise != "alone" else ()
    for noise in (*quiet, True) if given.noise else quiet:
        for place, row in enumerate(rows(given.said, given.each, given.seed)):
            yield place, row, voices[place % len(voices)], noise


Decided = tuple[ScoredHypotheses, ActiveGrammar, Recognition]


def decisions_of(ears: RecognitionPipeline) -> list[Decided]:
    """A list to which every decision of the pipeline is added."""
    seen: list[Decided] = []
    decide = ears.decide

    def noted(
        scored: ScoredHypotheses, allowed: ActiveGrammar, speech: DetectedSpeech
    ) -> Recognition:
        seen.append((scored, allowed, decide(scored, allowed, speech)))
        return seen[-1][-1]

    setattr(ears, "decide", noted)  # noqa: B010
    return seen


def evidence_of(ears: RecognitionPipeline, decision: Decided) -> dict[str, Any]:
    """A decision as part of a line of JSON, with the free transcript for comparison."""
    scored, allowed, decided = decision
    best = scored.guesses[0].phrase
    right, opposite = ears.probabilities(scored, allowed)
    written = scored.transcript or scored.write()
    return {
        "best": best,
        "polarity": allowed.polarity(best).value,
        "outcome": decided.outcome.value,
        "right": right,
        "opposite": opposite,
        "covered": decided.covered,
        "why": decided.why,
        "written": written,
        "seconded": scored.seconded,
        "others": [(each.phrase, each.evidence.get("behind")) for each in scored.guesses],
        "evidence": {**scored.evidence, **beyond(best, written)},
    }


class Trials:
    """Hears, one recording after the other."""

    def __init__(self) -> None:
        self.ears, self.interpreter = EngineLoader(read_settings())(), load_understanding()
        self.second = Understanding(load_checklist())
        self.decided = decisions_of(self.ears)
        self._warmed: set[str] = set()

    def warm(self, key: str) -> None:
        """Learn ahead what a worker does before somebody answers a question."""
        if key in self._warmed:
            return
        self._warmed.add(key)
        expected = expected_at(key)
        for _ in self.ears.ensemble.precompute(grammar_now(self.interpreter, expected)):
            pass
        self.second.understand(expected.open, "no such words", expected)

    def hear(self, sound: Sound, key: str) -> AnyHeard:
        return recognise_turn(self.ears, self.interpreter, sound, expected_at(key))

    def row(self, place: int, row: dict[str, str], voice: str, noise: bool) -> dict[str, Any]:
        """One answer heard, as a line of the work file."""
        sound = sounds(row["words"], voice, noise, place)
        self.decided.clear()
        began = time.process_time()
        heard = self.hear(sound, row["question"])
        found = acted_on(heard, row["question"], self.second)
        spent = time.process_time() - began
        return {
            **row,
            "voice": voice,
            "noise": noise,
            "cpu": spent,
            "seconds": sound.seconds,
            "state": outcome(found, right_by(row)),
            "heard": heard.kind,
            "found": told(found),
            "transcript": getattr(heard, "transcript", ""),
            "alternative": getattr(heard, "alternative", ""),
            "prompted": getattr(heard, "prompted", ""),
            "decisions": [evidence_of(self.ears, each) for each in self.decided],
        }


def times(trials: list[dict[str, Any]]) -> str:
    """Of what the grammar took and of what it refused, processor time over the length."""
    told_of = []
    for name, some in (
        ("in the grammar", [each for each in trials if each["heard"] != "off_grammar"]),
        ("refused", [each for each in trials if each["heard"] == "off_grammar"]),
    ):
        if some:
            share = sum(each["cpu"] for each in some) / sum(each["seconds"] for each in some)
            told_of.append(f"{name} {share:.3f} ({len(some)})")
    return "processor time / length: " + ", ".join(told_of)


def wrong_words(trial: dict[str, Any]) -> tuple[int, int]:
    """Words that the free transcript has wrong, and words that were said."""
    said = split_words(trial["words"])
    return Levenshtein.distance(said, split_words(trial["transcript"])), len(said)


def missed(trials: list[dict[str, Any]]) -> str:
    """Why faults and sound answers were not reached; words wrong, where there is a transcript."""
    asked = [each for each in trials if each["expected"] in "SD"]
    why: Counter[str] = Counter()
    for each in asked:
        if each["state"] in REACHED:
            continue
        wrong, said = wrong_words(each)
        share = "1/4" if 4 * wrong <= said else "1/2" if 2 * wrong <= said else "more"
        why[f"words wrong: {share}" if each["heard"] == "off_grammar" else each["heard"]] += 1
    written = [wrong_words(each) for each in asked if each["transcript"]]
    share_of_all = sum(wrong for wrong, _ in written) / max(1, sum(said for _, said in written))
    return f"not reached: {dict(why)}; words wrong in transcripts {share_of_all:.0%}"


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--said", type=Path, required=True)
    parser.add_argument("--each", type=int, default=40)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--voice", action="append")
    parser.add_argument("--noise", nargs="?", const="too", choices=("too", "alone"))
    parser.add_argument("--show", action="store_true")
    parser.add_argument("--warm", action="store_true", help="Learn ahead, as a worker does.")
    parser.add_argument("--part", default="1/1", help="2/4: one trial in four, from the second on.")
    parser.add_argument("--work", type=Path, help="A file for the trials, one line of JSON each.")
    return parser.parse_args()


def report_all(done: list[dict[str, Any]]) -> None:
    for noise in dict.fromkeys(row["noise"] for row in done):
        some = [row for row in done if row["noise"] is noise]
        count: dict[str, Counter[str]] = defaultdict(Counter)
        for row in some:
            count[row["expected"]][row["state"]] += 1
        print("pink noise, 10 dB" if noise else "quiet")
        report(count)
        print(missed(some))
        print(times(some))


def read_work(work: Path | None) -> list[dict[str, Any]]:
    """The trials that a work file holds already; none where it is not there yet."""
    there = work is not None and work.exists()
    return [json.loads(line) for line in work.read_text().splitlines()] if work and there else []


def main() -> None:
    given = options()
    part, parts = map(int, given.part.split("/"))
    trials = Trials()
    done = read_work(given.work)
    heard = {(row["words"], row["voice"], row["noise"]) for row in done}
    for case in islice(cases(given), part - 1, None, parts):
        if (case[1]["words"], *case[2:]) in heard:
            continue
        if given.warm:
            trials.warm(case[1]["question"])
        done.append(row := trials.row(*case))
        if given.work:
            with given.work.open("a", encoding="utf-8") as file:
                file.write(json.dumps(row) + "\n")
        if given.show or row["state"] == "WRONG":
            print(
                f"  {row['state']}: {row['question']} “{row['words']}” {row['voice']} "
                f"“{row['transcript']}” {row['found']}",
                flush=True,
            )
    report_all(done)


if __name__ == "__main__":
    main()
