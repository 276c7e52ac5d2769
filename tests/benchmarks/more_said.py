"""Recordings in which speech continues after an answer, and answers alone, for fitting and for
measuring.

Phrases of the grammar that pass, alone and with tails from tails.toml; answers in caretakers' own
words from a table; people's "yes" and "no", alone and followed directly by another word. The two
halves share no phrases, tails, voices or speakers.
"""

from __future__ import annotations

import csv
import random
import tomllib
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from doorround.config.resources import load_checklist
from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE, LabelledClip
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, Samples, Sound, UnusableAudio
from doorround.hearing.audio.vad import FRAME, SPEECH, speech_probabilities
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at
from tests.benchmarks.synthesisers import in_quiet, level, said_by
from tests.unit.phrase_table import TABLE

TAILS = Path(__file__).with_name("tails.toml")
YES_NO = "yes or no"
BARE = ("yes", "no")
GAPS = (0.0, 0.03, 0.06, 0.1)
"""Seconds between a person's word and the next."""

QUIET = 0.5
"""Seconds of quiet before and after; one clip in three of the tails has none."""

CLOSE = 0.05
"""Seconds kept beside the speech of a person's word."""


@dataclass(frozen=True)
class Case:
    """One recording. question: YES_NO, or the key of a question. kind: "right", the phrase alone;
    "more", a pass and a tail; "fault", a fault and a tail; "own", own words that are no pass;
    "person", a person's word and another; "half", the first half of another word of a person's.
    """

    name: str
    question: str
    words: str
    kind: str
    voice: str
    sound: Sound
    phrase: str = ""


def allowed_for(question: str) -> ActiveGrammar:
    """What may be said at a question."""
    return _yes_no() if question == YES_NO else allowed_at(question)[0]


@lru_cache(maxsize=1)
def _yes_no() -> ActiveGrammar:
    return grammar_of_phrases(BARE)


def in_grammar(case: Case) -> bool:
    """Whether all that is said in it may be said there, so that hearing it is right."""
    return (
        case.question != YES_NO
        and allowed_for(case.question).read(" ".join(split_words(case.words))).known
    )


def says_all(case: Case) -> bool:
    """Whether its phrase, surely heard, is entered without a read-back: it says all that was asked
    and is not hedged. The grammar's {partial} and {hedge} mark those that do not.
    """
    if case.question == YES_NO:
        return True
    understood = load_understanding().words(case.phrase, allowed_at(case.question)[1])
    return understood is not None and not any(said.hedged for said in understood.said)


def is_for_fit(words: str) -> bool:
    """Half of all phrases, by a hash."""
    return zlib.crc32(words.encode()) % 2 == 0


def tails(half: str) -> list[str]:
    """Those of one half, "fit" or "measure", one of each kind after the other."""
    kinds = list(tomllib.loads(TAILS.read_text(encoding="utf-8"))[half].values())
    most = max(map(len, kinds))
    return [kind[place] for place in range(most) for kind in kinds if place < len(kind)]


def phrases(half: str, polarity: Polarity) -> list[tuple[str, str]]:
    """Question and phrase of one half, always in the same order: those that pass, or those that
    tell a fault.
    """
    keys = {question.key for question in load_checklist("routine").question}
    found = []
    for key, meanings in TABLE.items():
        for phrase in (phrase for said in meanings.values() for phrase in said if key in keys):
            words = " ".join(split_words(phrase))
            if is_for_fit(words) == (half == "fit"):
                reading = allowed_at(key)[0].read(words)
                if reading.known and reading.polarity is polarity:
                    found.append((key, words))
    random.Random(half).shuffle(found)
    return found


def with_tails(
    half: str,
    voices: Sequence[str],
    count: int,
    polarity: Polarity = Polarity.PASS,
    start: int = 0,
) -> Iterator[Case]:
    """So many phrases with a tail each: every tail, as many phrases as there are. start: the place
    to begin at; another one pairs them otherwise.
    """
    said = phrases(half, polarity)
    behind = tails(half)
    kind = "more" if polarity is Polarity.PASS else "fault"
    for place in range(start, start + count):
        (key, phrase) = said[place % len(said)]
        tail = behind[place % len(behind)]
        voice = voices[place % len(voices)]
        words = f"{phrase}, {tail}"
        edge = 0.0 if place % 3 == 2 else QUIET
        yield Case(
            f"{kind} {place}",
            key,
            words,
            kind,
            voice,
            in_quiet(said_by(voice, words), edge, place),
            phrase,
        )


def alone(half: str, voices: Sequence[str], count: int) -> Iterator[Case]:
    """Phrases that pass, alone, with quiet edges."""
    for place, (key, phrase) in enumerate(phrases(half, Polarity.PASS)[:count]):
        voice = voices[place % len(voices)]
        yield Case(
            f"right {place}",
            key,
            phrase,
            "right",
            voice,
            in_quiet(said_by(voice, phrase), QUIET, place),
            phrase,
        )


def own_words(half: str, voices: Sequence[str], table: Path) -> Iterator[Case]:
    """Answers that must not pass, from a table with the columns question, words, expected (D a
    fault, X no pass).
    """
    with table.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["expected"] in ("D", "X")]
    for place, row in enumerate(row for row in rows if is_for_fit(row["words"]) == (half == "fit")):
        voice = voices[place % len(voices)]
        words = row["words"]
        sound = in_quiet(said_by(voice, words), QUIET, place)
        yield Case(f"own {place}", row["question"], words, "own", voice, sound)


def people(clips: Sequence[LabelledClip], count: int, start: int = 0) -> Iterator[Case]:
    """People's yes and no alone, and so many of them with another word right behind them, two in
    three of the same person where there is one. start: as for the tails.
    """
    usable = [
        clip
        for clip in clips
        if clip.words not in (STRANGE, SILENT) and clip.path.suffix == ".flac"
    ]
    said = [clip for clip in usable if clip.words in BARE]
    for clip in said:
        sound = load_sound(clip.path)
        yield Case(
            f"right {clip.path.name}", YES_NO, clip.words, "right", "person", sound, clip.words
        )
    drawn = random.Random(7 + start)
    for place in range(start, start + count):
        clip = said[place % len(said)]
        others = [other for other in usable if other.words != clip.words]
        same = [other for other in others if other.speaker == clip.speaker]
        other = drawn.choice(same if same and place % 3 else others)
        first = _speech(clip)
        second = _speech(other)
        if first is None or second is None:
            continue
        gap = np.zeros(round(GAPS[place % len(GAPS)] * RATE), dtype=np.float32)
        words = f"{clip.words} {other.words}"
        sound = in_quiet(np.concatenate([first, gap, second]), QUIET, place)
        yield Case(
            f"person {place} {clip.path.name} {other.path.name}",
            YES_NO,
            words,
            "person",
            "person",
            sound,
        )


def halves(clips: Sequence[LabelledClip], count: int) -> Iterator[Case]:
    """People's words other than yes and no, cut to the first half of their speech, as a slow hand
    on the button cuts them: so many, drawn.
    """
    usable = [
        clip
        for clip in clips
        if clip.words not in (STRANGE, SILENT, *BARE) and clip.path.suffix == ".flac"
    ]
    random.Random(9).shuffle(usable)
    for place, clip in enumerate(usable[:count]):
        speech = _speech(clip)
        if speech is None:
            continue
        sound = in_quiet(speech[: len(speech) // 2], QUIET, place)
        name = f"half {place} {clip.path.name}"
        yield Case(name, YES_NO, f"{clip.words}, half of it", "half", "person", sound)


def _speech(clip: LabelledClip) -> Samples | None:
    """A clip cut to its speech, as loud as all others; None where it cannot be read or there is
    hardly any.
    """
    try:
        sound = load_sound(clip.path)
    except UnusableAudio:
        return None
    active = np.flatnonzero(speech_probabilities(sound) >= SPEECH)
    if len(active) < 4:
        return None
    return level(
        sound.cut(active[0] * FRAME / RATE - CLOSE, (active[-1] + 1) * FRAME / RATE + CLOSE).samples
    )
