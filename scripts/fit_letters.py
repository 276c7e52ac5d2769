"""Train the letter model (grapheme to phoneme) on the CMU dictionary in PocketSphinx's package, and
measure it on held-out words.

Each letter is aligned with no, one or two phones (Viterbi training; many-to-many alignment after
Jiampojamarn 2007, from memory). The phones of a letter are then looked up by the longest context
that occurred often enough; contexts that agree with the shorter one are left out.

Run: python scripts/fit_letters.py            trains on all words and writes
                                              bot/doorround/hearing/lexicon/letters.gz
     python scripts/fit_letters.py --measure  trains on 19 words in 20 and prints the error on
                                              the others
"""

from __future__ import annotations

import argparse
import gzip
import math
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

from doorround.hearing.lexicon.letter_model import CONTEXTS, SILENT, LetterModel, context
from doorround.hearing.lexicon.pronunciations import bundled_dictionary

OUT = (
    Path(__file__).resolve().parent.parent
    / "bot"
    / "doorround"
    / "hearing"
    / "lexicon"
    / "letters.gz"
)
ROUNDS = 4
TRAINING_WORDS = 12_000
MIN_SEEN = 3
HELD_OUT_EACH = 20

Word = tuple[str, tuple[str, ...]]
Sounds = tuple[str, ...]


def dictionary_words() -> list[Word]:
    """Words of letters only, with each of their pronunciations.

    Abbreviations spelled letter by letter are left out.
    """
    found = []
    for word, ways in bundled_dictionary().items():
        if word.isalpha() and word.isascii() and len(word) > 1:
            found += [(word, way) for way in ways if len(way) <= 1.5 * len(word)]
    return found


def held_out(word: str) -> bool:
    """Whether a word is held out for measuring. Decided by spelling, so that all its pronunciations
    go together.
    """
    return zlib.crc32(word.encode()) % HELD_OUT_EACH == 0


def first_guess(words: Iterable[Word]) -> Counter[tuple[str, Sounds]]:
    """Letters with the phones at about the same relative position in the word."""
    seen: Counter[tuple[str, Sounds]] = Counter()
    for word, phones in words:
        for place, letter in enumerate(word):
            near = int(place * len(phones) / len(word))
            seen[letter, (phones[near],)] += 2
            seen[letter, ()] += 1
            seen[letter, phones[near : near + 2]] += 1
    return seen


def costs_of(seen: Counter[tuple[str, Sounds]]) -> dict[tuple[str, Sounds], float]:
    whole = Counter[str]()
    for (letter, _), times in seen.items():
        whole[letter] += times
    return {
        pair: -math.log(times / whole[pair[0]]) + 1.5 * (len(pair[1]) > 1)
        for pair, times in seen.items()
    }


def aligned(
    word: str, phones: Sounds, costs: dict[tuple[str, Sounds], float]
) -> list[Sounds] | None:
    """The phones of each letter, by the cheapest alignment; None if there is none."""
    best: list[dict[int, tuple[float, int]]] = [{0: (0.0, 0)}]
    for letter in word:
        after: dict[int, tuple[float, int]] = {}
        for place, (cost, _) in best[-1].items():
            for taken in (0, 1, 2):
                if place + taken > len(phones):
                    break
                more = cost + costs.get((letter, phones[place : place + taken]), 12.0)
                if place + taken not in after or more < after[place + taken][0]:
                    after[place + taken] = (more, place)
        best.append(after)
    end = len(phones)
    if end not in best[-1]:
        return None
    given: list[Sounds] = []
    for step in reversed(best[1:]):
        begin = step[end][1]
        given.append(phones[begin:end])
        end = begin
    return given[::-1]


def learn(words: list[Word]) -> dict[str, str]:
    """Context to phones; for the notation of contexts, see
    bot/doorround/hearing/lexicon/letter_model.py.
    """
    few = words[:: max(1, len(words) // TRAINING_WORDS)]
    seen = first_guess(few)
    for _ in range(ROUNDS):
        costs = costs_of(seen)
        seen = Counter()
        for word, phones in few:
            seen.update(zip(word, aligned(word, phones, costs) or (), strict=False))
    costs = costs_of(seen)
    times: dict[str, Counter[str]] = {}
    for word, phones in words:
        for place, sounds in enumerate(aligned(word, phones, costs) or ()):
            for width in CONTEXTS:
                said = " ".join(sounds) or SILENT
                times.setdefault(context(word, place, width), Counter())[said] += 1
    return dict(_kept(times))


def _kept(times: dict[str, Counter[str]]) -> Iterator[tuple[str, str]]:
    table: dict[str, str] = {}
    for where in sorted(times, key=lambda each: (len(each), each)):
        (said, often), *_ = times[where].most_common(1)
        shorter = _without_widest(where)
        while shorter and shorter not in table:
            shorter = _without_widest(shorter)
        if not shorter or (often >= MIN_SEEN and table[shorter] != said):
            table[where] = said
            yield where, said


def _without_widest(where: str) -> str:
    """The context to look up next if this one is unknown."""
    before, letter, after = where.split("|")
    place = CONTEXTS.index((len(before), len(after))) + 1
    if place == len(CONTEXTS):
        return ""
    left, right = CONTEXTS[place]
    return f"{before[len(before) - left :]}|{letter}|{after[:right]}"


def phone_errors(letters: LetterModel, words: dict[str, list[Sounds]]) -> tuple[float, float]:
    """Phone error rate against the nearest pronunciation, and share of words fully correct, both 0
    to 1.
    """
    wrong = length = right = 0
    for word, ways in words.items():
        said = letters.say(word)
        errors, way = min((_edits(said, way), way) for way in ways)
        wrong = wrong + errors
        length = length + len(way)
        right = right + (errors == 0)
    return wrong / length, right / len(words)


def _edits(one: Sounds, other: Sounds) -> int:
    row = list(range(len(other) + 1))
    for place, phone in enumerate(one, 1):
        before, row[0] = row[0], place
        for step, against in enumerate(other, 1):
            before, row[step] = (
                row[step],
                min(row[step] + 1, row[step - 1] + 1, before + (phone != against)),
            )
    return row[-1]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--measure", action="store_true")
    words = dictionary_words()
    if parser.parse_args().measure:
        letters = LetterModel(learn([each for each in words if not held_out(each[0])]))
        kept: dict[str, list[Sounds]] = {}
        for word, way in words:
            if held_out(word):
                kept.setdefault(word, []).append(way)
        errors, right = phone_errors(letters, kept)
        print(
            f"{len(kept)} words held out: {errors:.1%} of phones wrong, {right:.1%} of words wholly"
            " right"
        )
        return
    table = learn(words)
    text = "".join(f"{where}\t{said}\n" for where, said in sorted(table.items()))
    OUT.write_bytes(gzip.compress(text.encode(), mtime=0))
    print(f"{len(table)} contexts, {OUT.stat().st_size} bytes: {OUT.name}")


if __name__ == "__main__":
    main()
