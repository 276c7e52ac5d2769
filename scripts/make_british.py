"""Write grammar/british.dict: southern English ways to say words of the grammar, beside those of
the CMU dictionary.

The rules, from memory: r before a vowel only, long "a" in the words listed in
bot/doorround/hearing/lexicon/pronunciations.py, "new" as N Y UW.
Run after a change to the grammar: python -m scripts.make_british
"""

from __future__ import annotations

from collections.abc import Iterator

from doorround.config.resources import british, grammar_folder, pronunciations
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.lexicon.pronunciations import Pronunciations, british_ways


def lines() -> Iterator[str]:
    """The file's lines: a word and one way to say it."""
    known = Pronunciations.read(pronunciations())
    for word in sorted(GrammarSet.read(grammar_folder()).vocabulary):
        yield from (f"{word} {' '.join(way)}" for way in british_ways(word, known.written(word)))


if __name__ == "__main__":
    british().write_text("".join(f"{line}\n" for line in lines()), encoding="utf-8")
