"""What is entered at each cost of a wrong pass, on the tuning half of the speakers.

Run: DOORROUND_SPEECH=FOLDER python -m tests.benchmarks.bench_costs [--astray 12 13 13.5 14]

"Yes" and "no" clean; "no", strangers' words and silence under other voices and a radio. The figures
in bot/doorround/hearing/grammar/costs.toml are chosen by this benchmark. It does not use the
reporting half.
"""

from __future__ import annotations

import argparse
import os
import sys
import zlib
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from doorround.domain.costs import Decision, Stakes, choose
from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE, LabelledClip, read_clips
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import Samples, Sound, UnusableAudio
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.decision.accept_gate import doubt_of
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.error_costs import read_costs
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from tests.benchmarks.bench_hearing import is_digit
from tests.benchmarks.bench_questions import pool_of
from tests.benchmarks.noise import mixed, radio, voices

ASTRAY = (12.0, 12.5, 13.0, 13.5, 14.0, 14.5, 15.0)
NOISES = (
    *((voices, 10 - 5 * level, seed) for seed in (1, 2) for level in range(3)),
    (radio, 10, 3),
    (radio, 0, 3),
)
"""What is mixed in, decibels under the words, seed."""

ALLOWED = grammar_of_phrases(("yes", "no"))

Trial = tuple[str, str, ScoredHypotheses, DetectedSpeech]
"""What was said, under what noise ("" for none), the evidence, where somebody speaks, in how many
stretches.
"""


def heard(ear: RecognitionPipeline, clip: LabelledClip, pool: list[Samples]) -> Iterator[Trial]:
    """One clip clean and in noise, as far as anything is heard in it."""
    try:
        sound = load_sound(clip.path)
    except UnusableAudio:
        return
    for noise, name in ((sound, ""), *noisy(sound, clip, pool)):
        speech = detect_speech(noise)
        if speech.anyone and (scored := ear.score_phrases(speech, ALLOWED)).guesses:
            yield clip.words, name, scored, speech


def noisy(sound: Sound, clip: LabelledClip, pool: list[Samples]) -> Iterator[tuple[Sound, str]]:
    """The clip in each noise, drawn by its name alone."""
    for kind, decibels, seed in NOISES:
        drawn = np.random.default_rng([seed, decibels, zlib.crc32(clip.path.name.encode())])
        yield mixed(sound, kind(len(sound.samples), pool, drawn), decibels), kind.__name__


def entered(ear: RecognitionPipeline, trial: Trial, astray: float) -> bool:
    """Whether the best guess is entered without a yes where a wrong pass costs this much."""
    _, _, scored, speech = trial
    costs = read_costs()
    passes = ALLOWED.polarity(scored.guesses[0].phrase) is Polarity.PASS
    stakes = Stakes(flip=costs.passing.flip, astray=astray) if passes else costs.defect
    decision = choose(*ear.probabilities(scored, ALLOWED), stakes, costs).decision
    return decision is Decision.ACCEPT and doubt_of(scored, ALLOWED, speech) is None


def main() -> None:
    """Measure and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--astray", type=float, nargs="+", default=list(ASTRAY))
    options = parser.parse_args()
    folder = os.environ.get("DOORROUND_SPEECH")
    if not folder:
        sys.exit("Set DOORROUND_SPEECH to a folder of labelled clips with a manifest.csv.")
    clips = [clip for clip in read_clips(Path(folder)) if clip.for_tuning and not is_digit(clip)]
    pool = pool_of(clips)
    ear = choose_engines(Path("models-not-looked-at")).pipeline
    wanted = [clip for clip in clips if clip.words in ("yes", "no", STRANGE, SILENT)]
    trials = [trial for clip in wanted for trial in heard(ear, clip, pool)]
    clean = [each for each in trials if not each[1] and each[2].guesses[0].phrase == each[0]]
    print(
        f"Recordings: {len(clean)} clean, heard rightly;"
        f" {sum(clip.words != 'yes' for clip in wanted)} that are no yes."
    )
    print(
        "| a wrong pass costs | clean ones kept back, % | wrong passes: voices | radio | clean |\n"
        + "|---" * 5
        + "|"
    )
    for astray in options.astray:
        back = 100 * np.mean([not entered(ear, trial, astray) for trial in clean])
        wrong = [
            sum(
                entered(ear, trial, astray)
                for trial in trials
                if trial[0] != "yes" and trial[1] == noise and trial[2].guesses[0].phrase == "yes"
            )
            for noise in ("voices", "radio", "")
        ]
        print(f"| {astray:g} | {back:.1f} | {' | '.join(map(str, wrong))} |")


if __name__ == "__main__":
    main()
