"""Fit the coverage model, which tells whether a phrase is all that was said, on the fitting half of
the speakers.

Writes into bot/doorround/hearing/decision/calibration.toml.

Run: python -m scripts.fit_coverage FOLDER [--said TABLE] [--ways listeners listener]
[--trials FILE]

FOLDER is that of DOORROUND_SPEECH. TABLE has answers in own words, columns question, words,
expected. FILE caches what was recognised, so that it is not recognised again. The recordings:
tests/benchmarks/more_said.py.
"""

from __future__ import annotations

import argparse
import pickle
import zlib
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from importlib import import_module
from itertools import chain, islice
from pathlib import Path
from typing import Any

from doorround.config.resources import pronunciations
from doorround.hearing.adaptation.calibration_fit import carried, fitted_coverage
from doorround.hearing.adaptation.calibration_trials import in_noise
from doorround.hearing.adaptation.labelled_clips import LabelledClip, read_clips
from doorround.hearing.adaptation.probability_fit import Trial
from doorround.hearing.audio.sound import Sound
from doorround.hearing.decision.calibration import COVERS, FILE, LogisticModel, read_calibration
from doorround.hearing.decision.coverage import is_held
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.grammar.active_grammar import ActiveGrammar

PARTS = 2
TAILS = 320
ALONE = 320
PEOPLE = 300
NOISES = (("", 0), ("pink", 10), ("", 0), ("pink", 5), ("", 0), ("voices", 10))
"""Each recording is heard in quiet; and one in two in noise too, of one kind after the other."""

questions = import_module("tests.benchmarks.bench_questions")
more_said = import_module("tests.benchmarks.more_said")
synthesisers = import_module("tests.benchmarks.synthesisers")


@dataclass(frozen=True)
class Tried:
    """One recording after recognition: its name, the words said, the best phrase, the free
    transcript, and the trial.
    """

    name: str
    words: str
    phrase: str
    transcript: str
    trial: Trial


Heard = dict[str, list[Tried]]


def cases(clips: list[LabelledClip], said: Path | None) -> Iterator[Any]:
    """All recordings of the fitting half."""
    voices = synthesisers.present(synthesisers.FIT_VOICES)
    own = more_said.own_words("fit", voices, said) if said else iter(())
    tails = more_said.with_tails("fit", voices, TAILS)
    alone = more_said.alone("fit", voices, ALONE)
    return chain(tails, alone, own, more_said.people(clips, PEOPLE))


def tried(pipeline: RecognitionPipeline, case: Any, sound: Sound) -> Tried | None:
    """One recording after recognition. None if the best phrase need not be all that was said, if it
    differs from what was said, or if the grammar covers everything that was said.
    """
    grammar: ActiveGrammar = more_said.allowed_for(case.question)
    scored = pipeline.score_phrases(sound, grammar)
    if not scored.guesses or not is_held(scored.guesses[0].phrase, grammar):
        return None
    best = scored.guesses[0].phrase
    right = case.kind == "right"
    if right and case.phrase != best:
        return None
    if not right and more_said.in_grammar(case):
        return None
    return Tried(
        case.name, case.words, best, scored.transcript, Trial(dict(scored.evidence), right)
    )


def heard(clips: list[LabelledClip], part: int, ways: tuple[str, ...], said: Path | None) -> Heard:
    """The results of each combination of engines on one recording in PARTS."""
    nowhere = Path("models-not-looked-at")
    pool = questions.pool_of(clips)
    ears = {
        way: choose_engines(nowhere, way, pronunciations=pronunciations()).pipeline for way in ways
    }
    # evidence is gathered only if there are weights for it
    lines: dict[str, Any] = dict.fromkeys(COVERS, LogisticModel(0.0, {}))
    for ear in ears.values():
        ear.use(replace(ear.calibration, **lines))
    found: Heard = {way: [] for way in ways}
    for case in islice(cases(clips, said), part, None, PARTS):
        kind, decibels = NOISES[zlib.crc32(case.name.encode()) % len(NOISES)]
        sounds = [
            case.sound,
            *([in_noise(case.sound, kind, decibels, pool, case.name)] if kind else []),
        ]
        for way, ear in ears.items():
            found[way] += filter(None, (tried(ear, case, sound) for sound in sounds))
    return found


def main() -> None:
    """Fit each combination of engines and write the file."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--said", type=Path)
    parser.add_argument(
        "--ways", nargs="+", choices=("listeners", "listener"), default=("listeners", "listener")
    )
    parser.add_argument("--trials", type=Path)
    options = parser.parse_args()
    clips = [clip for clip in read_clips(options.folder) if clip.for_tuning]
    ways = tuple(options.ways)
    if options.trials and options.trials.exists():
        found: Heard = pickle.loads(options.trials.read_bytes())
    else:
        with ProcessPoolExecutor(PARTS) as pool:
            halves = list(
                pool.map(
                    heard, [clips] * PARTS, range(PARTS), [ways] * PARTS, [options.said] * PARTS
                )
            )
        found = {way: [each for half in halves for each in half[way]] for way in ways}
        if options.trials:
            options.trials.write_bytes(pickle.dumps(found))
    # the pair uses the same listener; PocketSphinx and Vosk give no evidence about the end
    found |= {"pair": found["listener"]} if "listener" in found else {}
    fits = {
        way: fitted_coverage(
            way, read_calibration(way), [(each.phrase, each.trial) for each in some]
        )
        for way, some in found.items()
    }
    FILE.write_text(carried(fits, read_calibration("listeners").made), encoding="utf-8")


if __name__ == "__main__":
    main()
