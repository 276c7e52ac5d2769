"""What the British ways of grammar/british.dict do to PocketSphinx alone: people, and a British
synthetic voice.

Run: DOORROUND_SPEECH=FOLDER python -m tests.benchmarks.bench_british [--half tuning] [--voices
FOLDER] [--each 6] --voices: phrases at their questions by a British synthetic voice, made by
scripts/make_british_voice.py FOLDER. There is no set of British people's speech here; what the ways
do for people is not measured.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from pathlib import Path

from doorround.config.resources import british, pronunciations
from doorround.hearing.adaptation.labelled_clips import STRANGE, LabelledClip, read_clips
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.engines.sphinx_engine import SphinxEngine
from doorround.hearing.lexicon.pronunciations import Pronunciations
from doorround.hearing.session.interpretation import Interpreter
from doorround.wiring import load_understanding
from scripts.make_british_voice import british_phrases, file_of
from tests.benchmarks.bench_hearing import (
    DIGITS,
    LISTS,
    hearing_with,
    is_digit,
    measure_list,
    sounds,
)
from tests.benchmarks.bench_questions import allowed_at


def ear_with(*files: Path) -> RecognitionPipeline:
    """PocketSphinx alone with the words of some dictionary files."""
    return RecognitionPipeline(SphinxEngine(Pronunciations.read(*files).own))


def of_people(ear: RecognitionPipeline, clips: list[LabelledClip]) -> Iterator[tuple[str, float]]:
    """Shares in percent: the three lists; digits at the question of hinges; strangers at a real
    question.
    """
    hear = hearing_with(ear)
    wide = [clip for clip in clips if not is_digit(clip)]
    for name, phrases in LISTS.items():
        of_list = [
            clip
            for clip in clips
            if clip.words in phrases and is_digit(clip) == (phrases == DIGITS)
        ]
        found = measure_list(hear, of_list, phrases)
        yield f"{name}, right", found["right"]
        yield f"{name}, wrong accepted", found["wrong accepted"]
    counts, _ = allowed_at("hinges.count")
    digits = [
        (clip, sound) for clip, sound in sounds([each for each in clips if is_digit(each)]) if sound
    ]
    yield (
        "digits at their question, right",
        share(hear(sound, counts)[0] == clip.words for clip, sound in digits),
    )
    closer, _ = allowed_at("closer.full")
    strange = [
        sound for _, sound in sounds([clip for clip in wide if clip.words == STRANGE]) if sound
    ]
    yield "strangers accepted at the closer", share(hear(sound, closer)[1] for sound in strange)


def of_voices(
    ear: RecognitionPipeline, folder: Path, each: int, understanding: Interpreter
) -> Iterator[tuple[str, float]]:
    """Shares in percent of phrases by a British voice: heard as what they mean; a fault heard as
    something else.
    """
    right = []
    accepted_wrong = []
    for key, phrase in list(british_phrases())[::each]:
        grammar, now = allowed_at(key)
        heard = ear.listen(load_sound(file_of(folder, key, phrase)), grammar)
        wanted = understanding.words(phrase, now)
        found = understanding.words(heard.phrase or "", now)
        same = bool(
            wanted and found and [s.value for s in wanted.said] == [s.value for s in found.said]
        )
        right.append(same)
        accepted_wrong.append(heard.outcome is Outcome.HEARD and not same)
    yield f"{len(right)} phrases by a British voice, right", share(right)
    yield "of those, wrong accepted", share(accepted_wrong)


def share(found: Iterator[bool] | list[bool]) -> float:
    """How many are true, in percent."""
    each = list(found)
    return 100 * sum(each) / max(1, len(each))


def main() -> None:
    """Measure without and with the British ways and print one table."""
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("--half", choices=("tuning", "reporting"), default="reporting")
    reader.add_argument("--voices", type=Path)
    reader.add_argument("--each", type=int, default=1, help="Only every so many of those phrases.")
    wanted = reader.parse_args()
    tuning = wanted.half == "tuning"
    folder = os.environ.get("DOORROUND_SPEECH")
    rows = dict[str, list[float]]()
    clips = (
        [clip for clip in read_clips(Path(folder)) if clip.for_tuning == tuning] if folder else []
    )
    for files in ((pronunciations(),), (pronunciations(), british())):
        ear = ear_with(*files)
        found = [*(of_people(ear, clips) if clips else ())]
        found += (
            of_voices(ear, wanted.voices, wanted.each, load_understanding())
            if wanted.voices
            else ()
        )
        for name, value in found:
            rows.setdefault(name, []).append(value)
    print(f"| {wanted.half} half, % | without | with British ways |\n|---|---|---|")
    for name, (without, having) in rows.items():
        print(f"| {name} | {without:.1f} | {having:.1f} |")


if __name__ == "__main__":
    main()
