"""Several things said at one question as one answer: two faults, the wider of two gaps, what is left of a doubt."""

from __future__ import annotations

from bot.domain.heard import Said
from bot.domain.meaning import Condition, Measure


def merged(said: tuple[Said, ...]) -> tuple[Said, ...]:
    """Two faults named at one question become one answer with both."""
    by_question: dict[str | None, Said] = {}
    for each in said:
        before = by_question.get(each.question)
        if before and isinstance(before.means, Condition) and isinstance(each.means, Condition):
            both = Condition(defects=tuple(dict.fromkeys(before.means.defects + each.means.defects)))
            phrase, doubt = f"{before.phrase} {each.phrase}", _doubt(before, each, both)
            by_question[each.question] = before.model_copy(update={"means": both, "phrase": phrase, **doubt})
        elif before and isinstance(before.means, Measure) and isinstance(each.means, Measure):
            by_question[each.question] = _wider(before, each)
        elif not before:
            by_question[each.question] = each
    return tuple(by_question.values())


def _wider(one: Said, other: Said) -> Said:
    """Of two gaps at the same question the worse one counts: "head three, lock side four"."""
    assert isinstance(one.means, Measure) and isinstance(other.means, Measure)
    wider = one if one.means.mm >= other.means.mm else other
    phrase, hedged = f"{one.phrase} {other.phrase}", one.hedged or other.hedged
    return wider.model_copy(update={"phrase": phrase, "hedged": hedged})


def _doubt(one: Said, other: Said, both: Condition) -> dict[str, bool]:
    """Hedges stay. That only some faults were denied no longer matters once a fault is named, or all were denied."""
    hedged = any(said.hedged and not said.partial for said in (one, other))
    partial = one.partial and other.partial and both.sound and not hedged
    return {"hedged": hedged or partial, "partial": partial}
