"""Write grammar/british.dict: southern English pronunciations of the grammar's words, in addition
to those of the CMU dictionary.

The rules, from memory: r only before a vowel, long "a" in the words listed in
bot/doorround/hearing/lexicon/pronunciations.py, "new" as N Y UW.

Run after a change to the grammar: python -m scripts.make_british
"""

from __future__ import annotations

from collections.abc import Iterator

from doorround.config.resources import british, grammar_folder, pronunciations
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.lexicon.pronunciations import Pronunciations, british_ways


def lines() -> Iterator[str]:
    """The lines of the file: a word and one pronunciation each."""
    known = Pronunciations.read(pronunciations())
    for word in sorted(GrammarSet.read(grammar_folder()).vocabulary):
        yield from (f"{word} {' '.join(way)}" for way in british_ways(word, known.written(word)))


if __name__ == "__main__":
    british().write_text("".join(f"{line}\n" for line in lines()), encoding="utf-8")
