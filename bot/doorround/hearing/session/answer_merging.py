"""Merge several statements about one question: two faults, gaps at several places, doubts."""

from __future__ import annotations

from doorround.domain.gap_points import EDGES, IN_ORDER, together
from doorround.domain.input_result import Said
from doorround.domain.made_good import faults_together
from doorround.domain.values import Command, Condition, Measure, Spot, Word


def merged(said: tuple[Said, ...]) -> tuple[Said, ...]:
    """Merge the faults named at one question into one answer, and the gaps at several places."""
    by_question: dict[str | None, Said] = {}
    bare: dict[str | None, list[Said]] = {}
    for each in said:
        before = by_question.get(each.question)
        if isinstance(each.value, Measure) and not each.value.spots:
            bare.setdefault(each.question, []).append(each)
        if before and isinstance(before.value, Condition) and isinstance(each.value, Condition):
            both = Condition(defects=faults_together(before.value.defects, each.value.defects))
            doubt = _doubt(before, each, both)
            by_question[each.question] = before.model_copy(
                update={"value": both, **_words(before, each), **doubt}
            )
        elif (
            before
            and isinstance(before.value, Measure)
            and isinstance(each.value, Measure)
            and each.question in EDGES
        ):
            by_question[each.question] = _both(before, each)
        elif not before:
            by_question[each.question] = each
    counted = {
        key: _counted(found, by_question[key]) for key, found in bare.items() if len(found) > 1
    }
    return _with_the_watch(said, tuple({**by_question, **counted}.values()))


def _with_the_watch(said: tuple[Said, ...], answers: tuple[Said, ...]) -> tuple[Said, ...]:
    """Keep both commands of "letting go … shut" in one recording; of others only the first runs."""
    words = [
        each
        for each in said
        if isinstance(each.value, Command) and each.value.word in (Word.LET_GO, Word.SHUT)
    ]
    return (
        (*answers[:1], words[-1], *answers[1:])
        if words[:1] == [*answers[:1]] and len(words) > 1
        else answers
    )


def _both(one: Said, other: Said) -> Said:
    """Two gaps at the same question: "head three, lock side four".

    The larger one counts; each keeps its place.
    """
    assert isinstance(one.value, Measure) and isinstance(other.value, Measure)
    both = together(one.value, other.value)
    wider = one if one.value.mm >= other.value.mm else other
    hedged = one.hedged or other.hedged
    at = [moment for each in (one, other) for moment in each.at or ()]
    more = {"at": (min(at), max(at))} if at else {}
    return wider.model_copy(update={"value": both, **_words(one, other), "hedged": hedged, **more})


def _words(one: Said, other: Said) -> dict[str, str]:
    verbatim = f"{one.verbatim} {other.verbatim}".strip()
    return {"phrase": f"{one.phrase} {other.phrase}", "verbatim": verbatim}


def _counted(bare: list[Said], answer: Said) -> Said:
    """Numbers separated by pauses: three are the three places of an edge. Any other count is
    ambiguous, so the answer is read back.
    """
    measures = [each.value for each in bare if isinstance(each.value, Measure)]
    alone = isinstance(answer.value, Measure) and not answer.value.spots
    if len(bare) != len(IN_ORDER) or not alone or len({each.unit for each in measures}) > 1:
        return answer.model_copy(update={"hedged": True})
    spots = tuple(
        Spot(place=place, amount=each.amount)
        for place, each in zip(IN_ORDER, measures, strict=True)
    )
    whole = Measure(
        amount=max(each.amount for each in measures), unit=measures[0].unit, spots=spots
    )
    return answer.model_copy(update={"value": whole})


def _doubt(one: Said, other: Said, both: Condition) -> dict[str, bool]:
    """Keep hedges, except those of a pass next to a named fault: a fault counts whatever else was
    said. `partial` no longer matters then, nor if all faults were denied.
    """
    counts = [said for said in (one, other) if both.sound or said.value != Condition()]
    hedged = any(said.hedged and not said.partial for said in counts)
    partial = one.partial and other.partial and both.sound and not hedged
    return {"hedged": hedged or partial, "partial": partial}
