"""What happens to an answer said at another question, where it is not an answer: what would be
entered and judged.

Run: python -m tests.benchmarks.bench_elsewhere [--each 6] [--seed 21] [--engine auto]

For each question, a number of phrases from tests/unit/phrases.toml that belong to other questions
and may not be said there, spoken by the dev extra's synthesiser, clean and in pink noise at 5 dB.
Prints every phrase that is entered.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from doorround.config.resources import load_checklist, pronunciations
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.phrase_list import said_in
from doorround.hearing.lexicon.tokeniser import split_words
from tests.benchmarks.bench_questions import allowed_at, noisy, voice
from tests.unit.phrase_table import TABLE


def strays(each: int, seed: int) -> Iterator[tuple[str, str]]:
    """Question, and what is said there though it belongs to another."""
    drawn = random.Random(seed)
    keys = [question.key for question in load_checklist("routine").question]
    said = sorted(
        {
            " ".join(split_words(phrase))
            for key in keys
            for ways in TABLE.get(key, {}).values()
            for phrase in ways
        }
    )
    for key in filter(TABLE.__contains__, keys):
        whole = said_in(allowed_at(key)[0])
        others = [words for words in said if not whole.accepts(words.split())]
        yield from ((key, words) for words in drawn.sample(others, min(each, len(others))))


def main() -> None:
    """Measure, print what was entered, and a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", type=int, default=6)
    parser.add_argument("--seed", type=int, default=21)
    parser.add_argument("--engine", default="auto")
    options = parser.parse_args()
    ear = choose_engines(
        Path("models-not-looked-at"), options.engine, pronunciations=pronunciations()
    ).pipeline
    counts = dict[str, Counter[str]]()
    drawn = np.random.default_rng(options.seed)
    for key, words in strays(options.each, options.seed):
        grammar = allowed_at(key)[0]
        for kind, sound in noisy(voice(words), [], drawn):
            heard = ear.listen(sound, grammar)
            came_to = heard.outcome.value
            if heard.outcome is Outcome.HEARD:
                came_to = f"entered: {grammar.polarity(str(heard.phrase)).value}"
                print(
                    f"{kind}, {key}: {words} → {heard.phrase} {heard.probability:.2f}", flush=True
                )
            counts.setdefault(kind, Counter()).update([came_to])
    names = sorted(set().union(*counts.values()))
    print("\n| | said | " + " | ".join(names) + " |\n" + "|---" * (len(names) + 2) + "|")
    for kind, count in counts.items():
        print(
            f"| {kind} | {count.total()} | " + " | ".join(str(count[name]) for name in names) + " |"
        )


if __name__ == "__main__":
    main()
