"""Three transcripts of one recording: by the second listener, by the first, and by the first with
answers that may be said before it.
"""

from __future__ import annotations

import pytest

from doorround.config.resources import load_checklist
from doorround.domain.input_result import Said
from doorround.domain.values import Condition, Defect, Measure, Unit, Value, YesNo
from doorround.understanding.transcripts import together
from doorround.understanding.understanding_result import NOTHING, Offer, Understood

FRAME = load_checklist().ask("frame.here")
RELEASE = load_checklist().ask("alarm_release")
SOUND = Condition()


def fault(*names: str, where: str | None = None) -> Condition:
    return Condition(defects=tuple(Defect(name=name, where=where) for name in names))


def said(value: Value) -> tuple[Said, ...]:
    return (Said(question="frame.here", value=value, phrase="as it was written"),)


def offered(*values: Value, doubtful: bool = False) -> Understood:
    offers = tuple(Offer(said(value), "", 0.5) for value in values)
    return Understood("offered", offers=offers, doubtful=doubtful)


def read_back(value: Value) -> Understood:
    return Understood("read_back", said(value))


def values(found: Understood) -> list[Value]:
    assert found.kind == "offered" and not found.meanings
    return [each.meaning[0].value for each in found.offers]


SPLIT, LOOSE, ROTTEN, BENT = map(fault, ("split", "loose", "rotten", "bent"))


@pytest.mark.parametrize("agreeing", ["alternative", "prompted"])
def test_a_fault_is_read_back_where_another_writing_tells_it_wherever_it_is(agreeing: str) -> None:
    told = read_back(fault("split", where="top"))
    others = {"alternative": read_back(LOOSE), "prompted": read_back(LOOSE)}
    others[agreeing] = read_back(SPLIT)
    assert together(told, **others, question=FRAME) == told


def test_a_fault_that_no_other_writing_tells_is_offered_before_what_they_tell() -> None:
    found = together(read_back(SPLIT), read_back(LOOSE), offered(ROTTEN), FRAME)
    assert values(found)[:2] == [SPLIT, LOOSE]
    # nobody wrote anything else: as it was
    assert together(read_back(SPLIT), NOTHING, NOTHING, FRAME) == read_back(SPLIT)


@pytest.mark.parametrize("kind", ["read_back", "offered"])
def test_what_a_prompt_made_likely_passes_nothing_and_is_never_read_back(kind: str) -> None:
    for value in (SOUND, YesNo(yes=True), Measure(amount=3, unit=Unit.MM)):
        prompted = read_back(value) if kind == "read_back" else offered(value)
        assert together(NOTHING, NOTHING, prompted, RELEASE) == NOTHING
    told = together(NOTHING, NOTHING, read_back(SPLIT), FRAME)
    assert told.kind == "offered" and values(told)[0] == SPLIT


def test_what_passes_is_offered_last_and_once_in_either_free_writing() -> None:
    assert values(together(offered(SOUND), offered(SPLIT, SOUND), NOTHING, FRAME)) == [SPLIT, SOUND]
    found = together(offered(SPLIT, LOOSE), offered(ROTTEN, SOUND), NOTHING, FRAME)
    assert values(found) == [SPLIT, ROTTEN, SOUND]


def test_a_word_of_doubt_keeps_another_writing_from_offering_what_passes() -> None:
    doubtful = offered(SPLIT, doubtful=True)
    assert values(together(doubtful, offered(SOUND), offered(LOOSE), FRAME)) == [SPLIT, LOOSE]
    assert values(together(doubtful, offered(LOOSE), NOTHING, FRAME)) == [SPLIT, LOOSE]


def test_where_no_two_transcripts_tell_the_same_sound_is_offered_last() -> None:
    different = offered(SPLIT, BENT), offered(LOOSE), offered(ROTTEN)
    assert values(together(*different, FRAME)) == [SPLIT, LOOSE, SOUND]
    alike = offered(SPLIT, BENT), offered(LOOSE), offered(SPLIT)
    assert values(together(*alike, FRAME)) == [SPLIT, LOOSE, BENT]


def test_one_fault_at_two_places_is_offered_once() -> None:
    found = together(offered(SPLIT), offered(fault("split", where="top"), LOOSE), NOTHING, FRAME)
    assert values(found) == [SPLIT, LOOSE]
