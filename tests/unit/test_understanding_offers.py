"""What is offered of words that no grammar reads, what is nothing, and that the data fit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from own_words_understood import (
    CHECKLIST,
    QUESTION_OF,
    SAID_OF_PARTS,
    UNDERSTANDING,
    in_words,
    passes,
    understand,
)

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.values import Measure, Unit
from doorround.understanding.ranking import CLEARLY_NEARER, nearer_to_another
from doorround.understanding.understanding_result import NOTHING
from doorround.understanding.word_data import UNNAMED, part_words


def test_sound_is_offered_where_nothing_told_is_a_fault() -> None:
    offers = understand("latch", "works like an old tractor").offers
    assert passes(offers[-1].meaning[0]) and len(offers) == 3
    assert not any(passes(each.meaning[0]) for each in understand("latch", "used to work").offers)


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("hinges.fixings", "all tight at one time"),
        ("hinges.fixings", "all tight in the past"),
        ("alarm_release", "I was standing beside it"),
    ],
)
def test_what_does_not_say_that_it_is_so_passes_nothing(key: str, words: str) -> None:
    found = understand(key, words)
    meanings = [said for each in found.offers for said in each.meaning] + list(found.meanings)
    assert not any(passes(said) for said in meanings)


@pytest.mark.parametrize("words", ["can't get through", "cannot", "canna open it", "canny"])
@pytest.mark.parametrize("component", sorted({each.partition(".")[0] for each in part_words()}))
def test_what_cannot_be_is_read_back_as_no_pass(component: str, words: str) -> None:
    """ "Canny" is good on the Tyne and cannot in Scotland: it was read as both."""
    found = understand(QUESTION_OF[component], words)
    assert not any(passes(said) for said in found.meanings)


@pytest.mark.parametrize("words", ["un damaged", "un split"])
def test_a_prefix_written_apart_denies(words: str) -> None:
    found = understand("leaf.here", words)
    assert found.kind == "read_back" and all(map(passes, found.meanings))
    assert not any(map(passes, understand("leaf.here", f"this {words}").meanings))


@pytest.mark.parametrize("words", ["asdf", "?", "42 elephants", "half past two", "what?"])
def test_what_says_nothing_of_a_part_is_nothing(words: str) -> None:
    assert understand("frame.here", words).kind in ("nothing", "offered")
    assert not understand("frame.here", words).meanings


@pytest.mark.parametrize("words", ["mop and bucket", "nae bother", "put their boot through it"])
def test_what_tells_no_measure_offers_none(words: str) -> None:
    for key in ("register.width", "register.mass", "hinges.count"):
        found = understand(key, words)
        meant = [said.question for offer in found.offers for said in offer.meaning]
        assert not found.meanings and key not in meant


def test_a_gap_told_without_a_figure_is_offered_as_not_measured() -> None:
    found = understand("gaps.sides", "can get my finger in")
    assert [in_words(each.meaning[0]) for each in found.offers] == ["not measured"]


def test_figures_say_nothing_of_how_a_part_is() -> None:
    assert understand("clear", "3 left 4 right") == NOTHING


def test_at_most_three_are_offered_and_what_passes_is_last() -> None:
    for component, _, words in SAID_OF_PARTS[::23]:
        offers = understand(QUESTION_OF[component], f"blimey {words}").offers
        assert len(offers) <= 3
        assert not any(passes(each.meaning[0]) for each in offers[:-1]), words


def test_an_offer_names_part_face_and_meaning() -> None:
    words = "some numbskull's put their boot through it and it's split"
    first = understand("leaf.here", words).offers[0]
    assert first.words == "Leaf, this side: a hole in it"


def test_without_a_question_nothing_is_understood() -> None:
    allowed = ExpectedInput(Stage.ASKING)
    assert UNDERSTANDING.understand(None, "split", allowed) == NOTHING


def test_every_fault_of_the_data_is_in_the_checklist() -> None:
    known = {(each.component, each.name) for each in CHECKLIST.defect}
    for key, part in part_words().items():
        component = key.split(".")[0]
        names = {*part.faults.values(), *(name for _, name in part.phrases), *part.usual}
        names = (names | {part.any}) - {"", UNNAMED}
        assert {(component, name) for name in names} <= known, key


def test_every_fault_of_the_checklist_can_be_told_in_own_words() -> None:
    told = {
        (key.split(".")[0], name)
        for key, part in part_words().items()
        for name in (*part.faults.values(), *(each for _, each in part.phrases), part.any)
    }
    assert {(each.component, each.name) for each in CHECKLIST.defect} <= told


def test_of_two_sizes_told_neither_is_taken_for_the_other() -> None:
    found = understand("register.height", "just under two metres, 1981")
    assert found.kind == "offered" and len(found.offers) >= 2


@pytest.mark.parametrize(
    ("key", "words", "chosen"),
    [
        ("register.first_side", "I'm stood in the corridor", "corridor side"),
        ("register.operation", "swings on hinges like any door", "hinged"),
        ("register.screens", "yeah there's a bit of glass up top", "above"),
    ],
)
def test_what_a_door_is_may_be_told_in_any_words(key: str, words: str, chosen: str) -> None:
    found = understand(key, words)
    meanings = [said for each in found.offers for said in each.meaning] + list(found.meanings)
    assert chosen in [getattr(each.value, "chosen", None) for each in meanings]


@pytest.mark.parametrize("words", ["two metres and forty mil", "2 m 40 mm", "2m 4cm"])
def test_metres_and_millimetres_are_one_length(words: str) -> None:
    found = understand("register.height", words)
    assert found.meanings[0].value == Measure(amount=Fraction(2040), unit=Unit("mm"))


@pytest.mark.parametrize("key", ["closer.full", "latch"])
def test_a_fault_told_beside_what_cannot_be_checked_is_read_back_with_it(key: str) -> None:
    found = understand(key, "couldn't get to it mate, the glass is cracked right across")
    assert found.kind == "read_back"
    assert [in_words(said) for said in found.meanings] == ["cannot", "cracked"]


@pytest.mark.parametrize("words", ["shuts all the way when I push it", "works fine when I pull it"])
def test_what_closes_when_it_is_pushed_does_not_close_by_itself(words: str) -> None:
    found = understand("closer.full", words)
    assert [in_words(said) for said in found.meanings] == ["not_closing"]


def test_what_is_tight_when_it_is_pulled_is_tight() -> None:
    assert [in_words(said) for said in understand("latch", "tight when I pull it").meanings] == [
        "sound"
    ]


@pytest.mark.parametrize(
    ("key", "words", "other"),
    [
        ("glass.here", "cracked right through", "hole"),
        ("leaf.here", "planed down at the bottom", "warped"),
    ],
)
def test_a_fault_is_read_back_where_another_is_clearly_nearer(
    key: str, words: str, other: str
) -> None:
    found = understand(key, words)
    assert found.kind == "read_back"
    assert other in [in_words(each.meaning[0]) for each in found.offers]


def test_only_a_clearly_nearer_fault_counts_as_another() -> None:
    ranked = [("sound", 0.9), ("part_missing", 0.7), ("missing", 0.3)]
    assert nearer_to_another(ranked, {"missing"})
    assert not nearer_to_another(ranked, {"part_missing"})
    assert not nearer_to_another([("sound", 0.9), ("missing", 0.3)], {"missing"})
    assert not nearer_to_another([("damaged", 0.5), ("missing", 0.5 * CLEARLY_NEARER)], {"missing"})


def test_a_sum_behind_what_was_counted_is_offered() -> None:
    found = understand("hinges.count", "one, two, three, oh and one behind the closer, so 4")
    assert in_words(found.offers[0].meaning[0]) == "4"


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("frame.here", "wall's cracked"),
        ("glass.here", "the wall next to it is cracked"),
        ("threshold", "carpet's worn"),
        ("glass.here", "is it cracked?"),
        ("sign.here", "dirty but readable"),
        ("seals", "old ones are in the bin, new ones in"),
        ("label", "painted around"),
    ],
)
def test_what_may_be_no_fault_of_the_part_is_not_entered(key: str, words: str) -> None:
    """Another thing's fault, a question, a fault and its opposite."""
    assert understand(key, words).kind != "entered"
