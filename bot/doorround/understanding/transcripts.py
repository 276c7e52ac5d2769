"""Combines three transcripts of one recording.

None of them is certain. A meaning found in two is likelier than one found in one. A prompt biases
the listener, so a prompted transcript passes nothing and is never read back.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import chain, zip_longest

from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Condition
from doorround.understanding.understanding_result import (
    MAX_OFFERS,
    NOTHING,
    Offer,
    Understood,
    passes,
)

Meaning = tuple[Said, ...]


def together(
    free: Understood, alternative: Understood, prompted: Understood, question: Question | None
) -> Understood:
    """Combine the interpretations of three transcripts of one recording. question: the open one.

    free: the second listener's; alternative: the first's; prompted: the first's with the accepted
    answers as a prompt, of which only faults are used. A fault in `free` is read back if another
    one has the same; otherwise all are offered, at most one pass, and that last. If `free` is
    doubtful, only its own offers may pass.
    """
    prompted = _faults_alone(prompted)
    all_of_it = (free, alternative, prompted)
    told = _fault(free)
    agreed = told in (_fault(alternative), _fault(prompted))
    if alternative == prompted == NOTHING or (free.kind == "read_back" and (agreed or not told)):
        return free
    own, others, biased = (_offers(each) for each in all_of_it)
    ranked = _in_turn([_whole(each) for each in all_of_it], own, others, biased)
    faults = _different(each for each in ranked if not _passes(each))
    passing = [each for each in (own if free.doubtful else [*own, *others]) if _passes(each)]
    open_ = _differ(own, others, biased) and not any(each.doubtful for each in all_of_it)
    if faults and open_ and not passing and question and question.kind == "condition":
        passing = [_sound(question, faults[0].meaning[0])]
    offers = (*faults[: MAX_OFFERS - len(passing[:1])], *passing[:1])
    return replace(free, kind="offered", meanings=(), offers=offers) if offers else NOTHING


def _faults_alone(found: Understood) -> Understood:
    """The interpretation reduced to its faults."""
    offers = tuple(each for each in found.offers if _is_fault(each.meaning))
    if found.kind == "read_back" and _is_fault(found.meanings):
        return replace(found, offers=offers)
    return replace(found, kind="offered", meanings=(), offers=offers) if offers else NOTHING


def _differ(*ranked: list[Offer]) -> bool:
    """Whether all first offers differ. The meaning is then open, and most answers are "sound"."""
    firsts = [_named(each[0].meaning) for each in ranked if each]
    return len(set(firsts)) == len(firsts)


def _sound(question: Question, like: Said) -> Offer:
    answer = Said(
        question=question.key, value=Condition(), phrase=like.phrase, verbatim=like.verbatim
    )
    return Offer((answer,), like.phrase, 0.0)


def _whole(found: Understood) -> list[Offer]:
    """The meaning of a fully understood text, as an offer."""
    if found.kind != "read_back":
        return []
    return [Offer(found.meanings, found.meanings[0].phrase, 1.0)]


def _offers(found: Understood) -> list[Offer]:
    return [*_whole(found), *found.offers]


def _in_turn(whole: Sequence[list[Offer]], *ranked: list[Offer]) -> list[Offer]:
    """Fully understood meanings, then the first offer of each, the second of each, and so on."""
    return [each for each in chain(*whole, *zip_longest(*ranked)) if each is not None]


def _different(offers: Iterable[Offer]) -> tuple[Offer, ...]:
    """The offers without duplicate meanings."""
    found: dict[str, Offer] = {}
    for each in offers:
        found.setdefault(_named(each.meaning), each)
    return tuple(found.values())


def _fault(found: Understood) -> str:
    """The fault of a fully understood text; "" if it has none."""
    read = found.kind == "read_back" and _is_fault(found.meanings)
    return _named(found.meanings) if read else ""


def _is_fault(meaning: Meaning) -> bool:
    values = [said.value for said in meaning]
    return all(isinstance(value, Condition) and value.defects for value in values)


def _gist(meaning: Meaning) -> str:
    return "; ".join(f"{said.question} {said.value.model_dump_json()}" for said in meaning)


def _named(meaning: Meaning) -> str:
    """Key of a meaning: names of faults, ignoring places; else its value."""
    faults = [
        f"{said.question} {[each.name for each in said.value.defects]}"
        for said in meaning
        if isinstance(said.value, Condition) and said.value.defects
    ]
    return "; ".join(faults) if len(faults) == len(meaning) else _gist(meaning)


def _passes(offer: Offer) -> bool:
    return any(map(passes, offer.meaning))
