"""A fault that names its part, told when the part had its answer: seen on the way back, or remembered.

Never a pass: to take a fault back there is "change" and the part's name.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bot.dialogue.listening import Listening, twins
from bot.domain.checklist import Question
from bot.domain.heard import Said
from bot.domain.meaning import Command, Condition
from bot.hearing.book import value_of
from bot.hearing.meant import FACES, says_which, sides
from bot.hearing.network import Match
from bot.hearing.utterance import Utterances, named, naming
from bot.hearing.words import Readings


def told_later(tokens: Readings, now: Listening, utterances: Utterances) -> tuple[Said, int] | None:
    """The fault, and how many letters had to be mended; None where these words are none. Hedged, so that it is read
    back, where either of two faces may be meant."""
    told = replace(now, open=None, others=now.told)
    for start, hedged in _starts(tokens, utterances).items():
        for question in told.others:
            for match in _faults(tokens, start, question, utterances):
                if targets := sides(question, match.tags, told):
                    doubt = hedged or "hedge" in match.tags or not _one_face(question, match, told)
                    return _added(targets[0], match, tokens[start:], doubt), match.repairs
    return None


def _starts(tokens: Readings, utterances: Utterances) -> dict[int, bool]:
    """Where the fault may begin, behind any words that say nothing, and whether one of them was a doubt."""
    found, waiting = {0: False}, [0]
    while waiting:
        start = waiting.pop()
        for rule in ("filler.hedge", "filler.noise"):
            for match in utterances.book.network(rule).matches(tokens, start):
                if match.end not in found:
                    found[match.end] = found[start] or rule == "filler.hedge"
                    waiting.append(match.end)
    return found


def _faults(tokens: Readings, start: int, question: Question, utterances: Utterances) -> Iterator[Match]:
    """All the rest as a fault of the part, which it names; not of its other face."""
    names_itself = utterances.book.names_itself(question.says)
    for body in (named(question), *([naming(question)] if names_itself else [])):
        for match in utterances.network(body).matches(tokens, start):
            means = value_of(match.tags, question.unit)
            other_face = question.side == "beyond" and "face=this side" in match.tags
            if match.end == len(tokens) and isinstance(means, Condition) and not means.passes and not other_face:
                yield match


def _one_face(question: Question, match: Match, told: Listening) -> bool:
    """Whether it is clear which of two faces, or of two closing tests, is meant."""
    alone = not any(twins(question, other) for other in told.others)
    return alone or says_which(question, match) or "face=this side" in match.tags


def _added(question: Question, match: Match, tokens: Readings, hedged: bool) -> Said:
    means = value_of(tuple(tag for tag in match.tags if not (question.side and tag in FACES)), question.unit)
    assert not isinstance(means, Command)
    words = " ".join(token[0][0] for token in tokens)
    return Said(question=question.key, means=means, phrase=words, added=True, hedged=hedged)
