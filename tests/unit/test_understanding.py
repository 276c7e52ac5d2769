"""Words that the grammar does not read: what is entered, read back and offered, and that nothing
passes by nearness."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from own_words_understood import (
    QUESTION_OF,
    SAID_OF_PARTS,
    in_words,
    passes,
    understand,
)

from doorround.domain.input_result import Said
from doorround.understanding.lexicon import Role
from doorround.understanding.phrase_layers import lexicon_of
from doorround.understanding.word_data import words_of
from doorround.understanding.words_of_text import respelled, tokens_of
from tests.whole import so_many, some_of

TABLE = tomllib.loads(Path(__file__).with_name("own_words.toml").read_text(encoding="utf-8"))
ROWS = [
    (key, meaning, words)
    for key, meanings in TABLE.items()
    for meaning, row in meanings.items()
    for words in row["said"]
]


@pytest.mark.parametrize(("key", "meaning", "words"), ROWS, ids=lambda value: str(value)[:40])
def test_own_words_mean_what_the_table_says(key: str, meaning: str, words: str) -> None:
    found = understand(key, words)
    if meaning == "never passes":
        assert found.kind != "entered" or not all(map(passes, found.meanings)), found
        assert not (found.kind == "read_back" and all(map(sound, found.meanings))), found
    elif meaning.startswith("first offered "):
        assert found.kind == "offered"
        assert in_words(found.offers[0].meaning[0]) == meaning.removeprefix("first offered ")
    else:
        kind = "entered" if meaning.startswith("entered ") else "read_back"
        told = meaning.removeprefix("entered ").removeprefix("read back ")
        partial = [said for said in found.meanings if said.partial]
        assert (found.kind, in_words(found.meanings[0])) == (kind, words if partial else told), (
            found
        )


def sound(said: Said) -> bool:
    """A bare pass; a fault that was put right is read back as such."""
    return passes(said) and not getattr(said.value, "defects", ())


def test_nothing_is_ever_passed_unasked() -> None:
    """Over every phrase that the data have, and what is sound of every part."""
    for component, _, words in SAID_OF_PARTS:
        found = understand(QUESTION_OF[component], words)
        assert found.kind != "entered" or not any(map(passes, found.meanings)), (component, words)


@pytest.mark.parametrize("word", [*words_of("doubt"), *words_of("hedge"), *words_of("mended")])
def test_what_is_sound_with_a_doubt_is_not_read_back_as_sound(word: str) -> None:
    for component, good in (("frame", "fine"), ("closer", "closes"), ("hinges", "tight")):
        for words in (f"{good} {word}", f"{word} {good}"):
            found = understand(QUESTION_OF[component], words)
            assert found.kind != "read_back" or not all(map(sound, found.meanings)), words


@pytest.mark.parametrize("words", ["no loose handle", "no broken handle", "no loose hinges"])
def test_a_part_whose_fault_is_denied_is_not_called_missing(words: str) -> None:
    found = understand("latch", words)
    named = [fault.name for said in found.meanings for fault in getattr(said.value, "defects", ())]
    assert found.kind != "entered" and not named


@pytest.mark.parametrize("word", words_of("exception"))
def test_what_is_left_out_is_not_sound(word: str) -> None:
    for rest in ("a crack", "the bottom", "one", "the hinge side", "a wee bit"):
        found = understand("frame.here", f"fine {word} {rest}")
        assert found.kind != "read_back" or not all(map(sound, found.meanings)), (word, rest)
        assert not any(passes(said) for each in found.offers for said in each.meaning), (word, rest)


DENIED_ALREADY = {"no", "not", "none", "nothing", "never"}


def test_a_fault_that_is_denied_is_not_entered() -> None:
    """ "Not split", "not any crack": whatever comes of it, it is not that fault, unasked."""
    tried = 0
    for component, meaning, words in some_of(SAID_OF_PARTS, 3):
        items = lexicon_of(component).items(tokens_of(f"not any {words}"))
        denial = [item.sense.role for item in items][:1] == [Role.NEGATION]
        if meaning in ("sound", "cannot") or not denial or DENIED_ALREADY & set(words.split()):
            continue
        if {item.sense.role for item in items[1:]} - {Role.FILLER} != {Role.FAULT}:
            continue
        tried += 1
        found = understand(QUESTION_OF[component], f"not any {words}")
        values = [getattr(said.value, "defects", ()) for said in found.meanings]
        names = [fault.name for faults in values for fault in faults]
        assert found.kind != "entered" or meaning not in names, (component, words)
    assert tried > so_many(160, 500)


@pytest.mark.parametrize(
    ("key", "words", "fault"),
    [
        ("sign.here", "corner snapped off", "damaged"),
        ("seals", "bottom's gone", "part_missing"),
        ("hinges.fixings", "top one's gone", "hinge_missing"),
        ("closer.full", "shuts like a shot", "slams"),
        ("hinges.fixings", "squeaks like a stuck pig", "dry"),
        ("latch", "panic bar's jammed", "broken"),
        ("leaf.here", "there's a scrape", "damaged"),
        ("seals", "torn out of the top corner", "part_missing"),
        ("seals", "missing top and both sides", "missing"),
        ("screens", "beads on the top pane are gone", "bead_loose"),
        ("hinges.fixings", "screws on the top hinge are loose", "screw_loose"),
        ("letter_plate", "stuck shut", "damaged"),
        ("threshold", "brush is missing at one end", "damaged"),
    ],
)
def test_a_fault_is_called_by_its_own_name(key: str, words: str, fault: str) -> None:
    assert in_words(understand(key, words).meanings[0]) == fault


@pytest.mark.parametrize(
    ("key", "words", "other"),
    [
        ("hinges.fixings", "one's missing", "screw_missing"),
        ("hinges.fixings", "they're loose", "screw_loose"),
        ("closer.full", "hangs open", "not_closing"),
        ("closer.full", "hangs up on the carpet", "stops_short"),
    ],
)
def test_a_fault_that_may_be_another_is_read_back_with_the_other_beside(
    key: str, words: str, other: str
) -> None:
    found = understand(key, words)
    assert found.kind == "read_back"
    told = [in_words(each.meaning[0]) for each in found.offers]
    assert other in [*told, *map(in_words, found.meanings)]


def test_a_word_of_the_dictionary_is_no_slip() -> None:
    assert [each.text for each in respelled(tokens_of("hallway"), frozenset(["halfway"]))[0]] == [
        "hallway"
    ]
    assert respelled(tokens_of("crcked"), frozenset(["cracked"]))[0][0].text == "cracked"


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("latch", "neither of them works"),
        ("latch", "neither of them latch"),
        ("closer.full", "neither of them closes fully"),
        ("hinges.fixings", "neither of them are tight"),
    ],
)
def test_neither_of_them_denies(key: str, words: str) -> None:
    found = understand(key, words)
    assert found.meanings and not any(map(passes, found.meanings))


def test_neither_of_them_loose_is_no_fault() -> None:
    found = understand("latch", "neither of them is loose")
    assert all(map(passes, found.meanings)) and found.kind == "read_back"


def test_another_part_behind_an_and_has_not_the_fault_before_it() -> None:
    found = understand("frame.here", "the closer's off and the glass is cracked")
    assert {said.question: in_words(said) for said in found.meanings} == {
        "closer.full": "missing",
        "glass.here": "cracked",
    }


@pytest.mark.parametrize("words", ["canna", "doesna", "isnae", "wasna"])
def test_scots_denies(words: str) -> None:
    assert tokens_of(words)[-1].text == "not"


@pytest.mark.parametrize("words", ["firm on three sides", "solid on two sides", "fine at one end"])
def test_what_is_sound_in_some_places_is_not_read_back_as_sound(words: str) -> None:
    assert understand("frame.here", words).kind == "offered"


def test_both_sides_and_the_top_are_all_of_it() -> None:
    assert understand("seals", "strips intact both sides and across the top").kind == "read_back"


def test_a_fault_of_another_part_goes_to_its_question_and_is_read_back() -> None:
    found = understand("frame.here", "the door handle's hanging off")
    assert (found.kind, found.meanings[0].question) == ("read_back", "latch")


@pytest.mark.parametrize("key", ["sign.here", "frame.here", "hinges.fixings", "latch"])
@pytest.mark.parametrize(
    ("words", "fault"),
    [
        ("there's a crack in the glass", ("glass.here", "cracked")),
        ("hole in the leaf", ("leaf.here", "hole")),
        ("dent on the leaf", ("leaf.here", "damaged")),
    ],
)
def test_a_fault_in_another_part_is_not_entered_of_the_part_asked_about(
    key: str, words: str, fault: tuple[str, str]
) -> None:
    found = understand(key, words)
    assert found.kind == "read_back"
    assert [(each.question, in_words(each)) for each in found.meanings] == [fault]


def test_a_part_of_a_clause_before_has_not_the_fault_in_another_part() -> None:
    assert understand("hinges.fixings", "screws loose on the closer").kind != "entered"
    found = understand("sign.here", "no sign on it but a dent in the leaf")
    told = [(each.question, in_words(each)) for each in found.meanings]
    assert found.kind == "read_back" and told == [
        ("sign.here", "missing"),
        ("leaf.here", "damaged"),
    ]


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("closer.full", "moves a bit then stops on the latch"),
        ("closer.full", "hangs halfway"),
        ("frame.here", "come away from the wall, cracks when I lean on it"),
        ("latch", "you've got to lift the door to get it to click in"),
        ("latch", "bottom bolt hole's full of muck so it don't drop"),
        ("leaf.here", "edge is splintered where the bolt goes"),
        ("seals", "torn out by the lock"),
        ("leaf.here", "hole in it, warped"),
    ],
)
def test_more_than_one_fault_plainly_told_is_read_back(key: str, words: str) -> None:
    found = understand(key, words)
    assert found.kind in ("read_back", "offered"), found


def test_sound_of_the_face_that_is_asked_about_is_read_back_as_sound() -> None:
    assert understand("frame.here", "just as firm this side and no damage").kind == "read_back"
    assert understand("seals", "just as firm this side").kind == "offered"


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("frame.here", "no splits, it's loose or rotten"),
        ("frame.here", "no splits, loose or rotten"),
        ("latch", "no splits, handle broken or missing"),
        ("frame.here", "can't see a split, it's bent or hanging off"),
        ("glass.here", "no splits and broken"),
        ("hinges.fixings", "no splits and the top hinge is loose"),
        ("hinges.fixings", "no splits, top loose or rotten"),
    ],
)
def test_a_denial_reaches_no_fault_that_is_told_behind_it(key: str, words: str) -> None:
    found = understand(key, words)
    assert found.kind != "entered"
    assert not any(passes(said) for said in found.meanings)
