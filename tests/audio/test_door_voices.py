"""Doors named by voice: each file's name is what is said in it; from silence, noise and talk no
door may come.
"""

from functools import cache
from pathlib import Path

import pytest

from doorround.domain.door import Door
from doorround.domain.door_reference import DoorCommand, DoorReference
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from tests.read_once import BOOK, usual_ear
from tests.whole import with_each_engine

AUDIO = Path(__file__).parent
TOP = AUDIO.parents[1]
NO_DOOR = sorted(
    [
        *(AUDIO / "nothing").glob("*.ogg"),
        *(AUDIO / "said" / f"{w}.ogg" for w in ("yes", "no", "slams")),
    ]
)
REGISTER = (
    Door(number="2.14", floor="2", place="stair A"),
    Door(number="2.40", floor="2", place="stair B"),
    Door(number="3.14", floor="third floor", place="stair B"),
    Door.model_validate({"number": "21", "floor": "2", "use": "plant room"}),
    Door(number="107", place="kitchen corridor"),
)
LARGE = [
    Door(number=f"{f}.{i:02d}", floor=str(f), place=f"stair {'ABCD'[i % 4]}")
    for f in range(1, 40)
    for i in range(50)
]
MEANT = {
    "door two fourteen": ["2.14"],
    "two forty": ["2.40"],
    "two hundred and fourteen": ["2.14"],
    "stair b": ["2.40", "3.14"],
    "stair b third floor": ["3.14"],
    "the plant room on two": ["21"],
    "door one oh seven": ["107"],
}


def named(given):
    """An engine, or the recording of a path."""
    return getattr(given, "stem", given)


@pytest.fixture(scope="module", params=["auto", "pocketsphinx"])
def ear(request):
    if request.param == "auto":
        return usual_ear()
    return choose_engines(
        TOP / "models", request.param, pronunciations=TOP / "grammar" / "pronunciations.dict"
    ).pipeline


@pytest.fixture(scope="module")
def which():
    return DoorResolver(NameIndex(REGISTER, BOOK))


def said(words):
    return load_sound(AUDIO / "doors" / f"{words.replace(' ', '-')}.ogg")


@pytest.fixture(scope="module")
def named_door(ear, which):
    """Which door each recording is heard to name: once, for several tests."""
    return cache(lambda words: which.hear(ear, said(words)))


@pytest.mark.parametrize("words", MEANT)
def test_the_door_in_the_name_is_heard(named_door, words):
    heard = named_door(words)
    assert isinstance(heard, DoorReference)
    assert sorted(door.number for door in heard.doors) == MEANT[words]


@pytest.mark.parametrize("words", ["door two fourteen", "two hundred and fourteen", "two forty"])
def test_a_number_with_another_that_sounds_like_it_is_never_sure(named_door, words):
    assert not named_door(words).sure


def test_without_a_door_that_sounds_like_it_the_same_recording_is_sure():
    ear = usual_ear()
    alone = DoorResolver(NameIndex([door for door in REGISTER if door.number != "2.40"], BOOK))
    assert alone.hear(ear, said("door two fourteen")).sure


def test_a_door_that_the_register_has_not_never_begins_another(ear, which):
    heard = which.hear(ear, said("door nine hundred"))
    assert not (isinstance(heard, DoorReference) and heard.sure)


@pytest.mark.parametrize(("ear", "path"), with_each_engine(NO_DOOR, 4), indirect=["ear"], ids=named)
def test_silence_noise_and_talk_name_no_door(ear, which, path):
    assert not isinstance(which.hear(ear, load_sound(path)), DoorReference)


@pytest.mark.parametrize(("ear", "path"), with_each_engine(NO_DOOR, 4), indirect=["ear"], ids=named)
def test_in_a_large_register_they_never_begin_a_door(ear, large, path):
    heard = large.hear(ear, load_sound(path))
    assert not (isinstance(heard, DoorReference) and heard.sure)


@pytest.fixture(scope="module")
def large():
    return DoorResolver(NameIndex(LARGE, BOOK))


def test_in_a_large_register_the_door_is_heard(ear, large):
    heard = large.hear(ear, said("door two fourteen"))
    assert isinstance(heard, DoorReference) and "2.14" in [door.number for door in heard.doors]


def test_yes_is_heard_only_where_a_door_is_offered(ear, which):
    yes = load_sound(AUDIO / "said" / "yes.ogg")
    assert which.hear(ear, yes, REGISTER[:1]).kind == "door_command"
    assert which.hear(ear, yes).kind == "off_grammar"


@pytest.mark.parametrize("words", ["read aloud", "stop reading"])
def test_reading_aloud_is_turned_on_and_off_by_voice_before_any_check(ear, which, words):
    heard = which.hear(ear, said(words))
    assert isinstance(heard, DoorCommand) and heard.word == words


def test_a_word_no_dictionary_has_is_left_out_or_heard_as_it_is_guessed_and_then_asked_about():
    """The recording says "stair b"; the register calls the place "stare bee", in letters that no
    dictionary holds.
    """
    ear = choose_engines(TOP / "models", "pocketsphinx").pipeline
    doors = (Door(number="5", place="staer bea"), Door(number="6", place="lift"))
    mute = DoorResolver(NameIndex(doors, BOOK), lambda word: ())
    assert "staer" in mute.grammar.left_out(ear)
    assert not isinstance(mute.hear(ear, said("stair b")), DoorReference)
    ways = {"staer": ("S T EH R",), "bea": ("B IY",)}
    taught = DoorResolver(NameIndex(doors, BOOK), lambda word: ways.get(word, ()))
    heard = taught.hear(ear, said("stair b"))
    assert (
        isinstance(heard, DoorReference)
        and [door.number for door in heard.doors] == ["5"]
        and not heard.sure
    )
    assert "staer" in taught.grammar.guessed
