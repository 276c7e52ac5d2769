"""What a supervisor asks by voice: each file's name is what is said; silence, noise, talk and
answers ask nothing.
"""

from functools import cache
from pathlib import Path

import pytest

from doorround.domain.door import Door
from doorround.domain.door_reference import AskedQuery, DoorCommand, DoorReference
from doorround.domain.query import Query, QueryKind
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from tests.read_once import BOOK, usual_ear
from tests.whole import some_of, with_each_engine

AUDIO = Path(__file__).parent
TOP = AUDIO.parents[1]
REGISTER = (
    Door(number="2.14", floor="2", place="stair A"),
    Door(number="14", floor="2", place="lobby"),
    Door(number="3.14", floor="third floor", place="stair B"),
    Door.model_validate({"number": "21", "floor": "2", "use": "plant room"}),
    Door(number="107", place="kitchen corridor"),
)
ASKED = {
    "what is due": Query(QueryKind.DUE),
    "which doors are due today": Query(QueryKind.DUE),
    "who is late": Query(QueryKind.LATE),
    "what is overdue": Query(QueryKind.LATE),
    "what is wrong": Query(QueryKind.WRONG),
    "what is wrong on floor two": Query(QueryKind.WRONG, floor="floor two"),
    "open defects": Query(QueryKind.WRONG),
    "summary": Query(QueryKind.SUMMARY, every="daily"),
    "look at the repairs": Query(QueryKind.LOOKS),
    "give me the weekly summary": Query(QueryKind.SUMMARY, every="weekly"),
}
SHOWN = {
    "show door two fourteen": "2.14",
    "show me door one oh seven": "107",
    "show stair b": "3.14",
    "how is the plant room on two": "21",
}
LOOKED_AT = {"look at door one oh seven": "107", "look at the repair at stair b": "3.14"}
NO_QUESTION = [
    *sorted((AUDIO / "nothing").glob("*.ogg")),
    *some_of(sorted((AUDIO / "said").glob("*.ogg")), 3),
    *some_of(sorted((AUDIO / "negated").glob("*.ogg")), 8),
]
NAMES = some_of(sorted((AUDIO / "doors").glob("*.ogg")), 3)


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


@pytest.fixture(scope="module")
def asked(ear, which):
    """What each recording is heard as: once, for several tests."""

    @cache
    def hear(words):
        return which.hear(ear, load_sound(AUDIO / "asked" / f"{words.replace(' ', '-')}.ogg"))

    return hear


def asks_again(ear, heard):
    """Without the listener it may ask again; it never takes one for another."""
    return ear.name == "pocketsphinx" and heard.kind == "off_grammar"


@pytest.mark.parametrize("words", ASKED)
def test_the_question_in_the_name_is_heard(ear, asked, words):
    heard = asked(words)
    if (
        ear.name == "pocketsphinx"
    ):  # without the listener it may ask again; it never takes one for another
        assert heard.kind in ("question", "off_grammar")
    else:
        assert isinstance(heard, AskedQuery)
    assert not isinstance(heard, AskedQuery) or heard.asked == ASKED[words]


@pytest.mark.parametrize("words", SHOWN)
def test_the_door_that_is_to_be_shown_is_shown_or_offered(ear, asked, words):
    heard = asked(words)
    if asks_again(ear, heard):
        return
    assert isinstance(heard, AskedQuery) and heard.asked.what is QueryKind.DOOR
    assert SHOWN[words] in [door.number for door in heard.doors]
    assert heard.asked.number in ("", SHOWN[words])


@pytest.mark.parametrize("words", LOOKED_AT)
def test_the_door_of_a_look_is_offered_and_never_sure(ear, asked, words):
    heard = asked(words)
    if asks_again(ear, heard):
        return
    assert isinstance(heard, AskedQuery) and heard.asked.what is QueryKind.LOOK
    assert LOOKED_AT[words] in [door.number for door in heard.doors]
    assert not heard.sure and not heard.asked.number


@pytest.mark.parametrize("words", ["new door", "add a new door"])
def test_a_door_is_added_by_saying_so(ear, asked, words):
    heard = asked(words)
    if asks_again(ear, heard):
        return
    assert isinstance(heard, DoorCommand) and heard.word == "new door"


def test_the_door_to_be_changed_is_offered_and_never_sure(ear, asked):
    heard = asked("change door two fourteen")
    if asks_again(ear, heard):
        return
    assert isinstance(heard, AskedQuery) and heard.asked.what is QueryKind.CHANGE
    assert "2.14" in [door.number for door in heard.doors] and not heard.sure


def test_next_is_what_it_was(asked):
    heard = asked("next")
    assert isinstance(heard, DoorCommand) and heard.word == "next door"


@pytest.mark.parametrize(
    ("ear", "path"), with_each_engine(NO_QUESTION, 5), indirect=["ear"], ids=named
)
def test_silence_noise_talk_and_answers_to_questions_ask_nothing(ear, which, path):
    assert not isinstance(which.hear(ear, load_sound(path)), AskedQuery)


@pytest.mark.parametrize(("ear", "path"), with_each_engine(NAMES, 3), indirect=["ear"], ids=named)
def test_the_name_of_a_door_is_no_question(ear, which, path):
    assert not isinstance(which.hear(ear, load_sound(path)), AskedQuery)


@pytest.mark.parametrize("words", [*ASKED, *SHOWN, *LOOKED_AT])
def test_no_question_begins_a_check(asked, words):
    heard = asked(words)
    assert not (isinstance(heard, DoorReference) and heard.sure)
