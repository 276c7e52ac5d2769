"""Queries while no check is open, in the words of grammar/asked.jsgf: "show door fourteen", "who is
late".
"""

from __future__ import annotations

import re

from doorround.domain.query import Query, QueryKind
from doorround.english.places import LEADING_FLOOR
from doorround.hearing.grammar.grammar_set import GrammarSet

Words = tuple[str, ...]
ALONE = (
    "<asked.due> | <asked.late> | <asked.summary> | <asked.mine> | <asked.paused> | <asked.looks>"
)
"""Queries without a door or a floor."""
USUAL = ("what is due", "who is late", "what is wrong", "summary")


class QueryPhrases:
    """Parses the words of one query. grammar_set: grammar files."""

    def __init__(self, grammar_set: GrammarSet) -> None:
        alone = {
            QueryKind.DUE: "asked.due",
            QueryKind.LATE: "asked.late",
            QueryKind.WRONG: "asked.wrong",
            QueryKind.SUMMARY: "asked.summary",
            QueryKind.MINE: "asked.mine",
            QueryKind.PAUSED: "asked.paused",
            QueryKind.LOOKS: "asked.looks",
        }
        self._whole: dict[Words, Query] = {}
        for what, rule in alone.items():
            for phrase, tags in grammar_set.phrases(rule).items():
                every = next(
                    (tag.partition("=")[2] for tag in tags if tag.startswith("every=")), ""
                )
                self._whole[tuple(phrase.split())] = Query(what, every=every)
        leads = {
            QueryKind.DOOR: "asked.show",
            QueryKind.LOOK: "asked.look",
            QueryKind.CHANGE: "asked.change",
        }
        self._leads = {
            tuple(phrase.split()): what
            for what, rule in leads.items()
            for phrase in grammar_set.phrases(rule)
        }
        self._wrong = {tuple(phrase.split()) for phrase in grammar_set.phrases("asked.wrong")}
        known = (*self._whole, *self._leads)
        self.vocabulary = frozenset(word for words in known for word in words)

    def lead(self, words: Words) -> Words:
        """The words before the name of a door to show or change, or whose repair to look at; () if
        there are none.
        """
        return _longest(set(self._leads), words)

    def leads_to(self, lead: Words) -> QueryKind:
        """The query for the door named after it."""
        return self._leads[lead]

    def whole(self, words: Words, floors: frozenset[str]) -> Query | None:
        """Queries except for doors to show. floors: of the register, in each spoken form."""
        if words in self._whole:
            return self._whole[words]
        lead = _longest(self._wrong, words)
        said = " ".join(words[len(lead) :])
        bare = LEADING_FLOOR.sub("", said)
        return Query(QueryKind.WRONG, floor=bare) if lead and {said, bare} & floors else None


def spelled_out(text: str) -> str:
    """A typed text with "what's" and "who's" expanded."""
    return re.sub(r"\b(what|who|how)['’]?s\b", r"\1 is", text, flags=re.I)


def _longest(leads: set[Words], words: Words) -> Words:
    return next((words[:end] for end in range(len(words) - 1, 0, -1) if words[:end] in leads), ())
