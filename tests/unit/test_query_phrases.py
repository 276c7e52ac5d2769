"""Which words are a question, typed or spoken, and that each means the same both ways."""

from __future__ import annotations

from datetime import date

import pytest
from phrase_table import TABLE
from visits import BOOK

from doorround.domain.door import Door
from doorround.domain.door_reference import AskedQuery
from doorround.domain.query import Query, QueryKind, read_query
from doorround.hearing.door_names.door_grammar import ALONE
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from doorround.hearing.grammar.jsgf import Words


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("What is due?", Query(QueryKind.DUE)),
        ("what's due today", Query(QueryKind.DUE)),
        ("who is late", Query(QueryKind.LATE)),
        ("Show door 2.14", Query(QueryKind.DOOR, "2.14")),
        ("what is wrong", Query(QueryKind.WRONG)),
        ("Summary", Query(QueryKind.SUMMARY, every="daily")),
        ("show me the weekly summary", Query(QueryKind.SUMMARY, every="weekly")),
        ("what is wrong on floor two", Query(QueryKind.WRONG, floor="floor two")),
        ("what's wrong on the second floor?", Query(QueryKind.WRONG, floor="second floor")),
        ("defect 17", Query(QueryKind.DEFECT, "17")),
        (
            "Defect 17 made good: two Screws replaced",
            Query(QueryKind.MENDED, "17", text="two Screws replaced"),
        ),
        ("defect 17 looked at yes", Query(QueryKind.LOOKED, "17", sure=True)),
        ("reopen defect 17, it slams", Query(QueryKind.REOPEN, "17", text="it slams")),
        ("the clock is right", Query(QueryKind.CLOCK)),
        ("snooze", Query(QueryKind.SNOOZE)),
        ("snooze for 3 days", Query(QueryKind.SNOOZE, "3")),
        ("off until 2026-03-09", Query(QueryKind.OFF, until=date(2026, 3, 9))),
        *(
            (words, None)
            for words in (
                "door 14",
                "what is wrong with you",
                "due",
                "14",
                "defect",
                "off until 2026-13-09",
                "snooze 30 days",
                "what is due and no wedge",
                "no defects",
                "no",
                "",
            )
        ),
    ],
)
def test_only_what_is_wholly_a_question_is_one(words: str, asked: Query | None) -> None:
    assert read_query(words) == asked


# ---- The same words, spoken


PHRASES = {
    rule: [phrase for phrase, _ in BOOK.phrases(f"asked.{rule}").items()]
    for rule in ("due", "late", "summary", "wrong", "show", "mine", "paused", "looks", "look")
}


def test_every_phrase_that_may_be_said_may_be_typed_and_means_the_same() -> None:
    which = DoorResolver(
        NameIndex((Door(number="14", floor="second floor", place="stair B"),), BOOK)
    )
    said = [*PHRASES["due"], *PHRASES["late"], *PHRASES["summary"], *PHRASES["wrong"]]
    said += [*PHRASES["mine"], *PHRASES["paused"], *PHRASES["looks"]]
    said += [f"{phrase} second floor" for phrase in PHRASES["wrong"]]
    assert len(said) > 30
    for phrase in said:
        heard = which.read(phrase)
        assert isinstance(heard, AskedQuery) and heard.asked == read_query(phrase), phrase
    for phrase in PHRASES["show"]:
        heard = which.read(f"{phrase} fourteen")
        assert (
            isinstance(heard, AskedQuery)
            and heard.asked == Query(QueryKind.DOOR, "14")
            and heard.sure
        )
        if phrase.endswith(("door", "number")):
            assert read_query(f"{phrase} 14") == Query(QueryKind.DOOR, "14"), phrase
    for phrase in PHRASES["look"]:
        heard = which.read(f"{phrase} fourteen")
        assert isinstance(heard, AskedQuery) and heard.sure, phrase
        assert heard.asked == Query(QueryKind.LOOK, "14", name="door"), phrase
        if phrase.endswith(("door", "number")):
            assert read_query(f"{phrase} 14") == Query(QueryKind.LOOK, "14", name="door"), phrase
    shown = which.read("show stair b")
    assert isinstance(shown, AskedQuery) and shown.asked.number == "14"


def test_a_slip_of_the_finger_in_a_question_is_no_answer_and_no_door() -> None:
    which = DoorResolver(NameIndex((Door(number="14"),), BOOK))
    assert which.read("waht is due").kind == "off_grammar"
    assert which.read("show door 15").kind == "question"


def test_every_way_to_ask_is_listened_for_and_nothing_beside_it() -> None:
    whole = NameIndex((Door(number="14", floor="2"),), BOOK).automaton(lambda word: True, ALONE)
    for phrase in (*PHRASES["due"], *PHRASES["late"], *PHRASES["summary"], *PHRASES["wrong"]):
        assert whole.accepts(phrase.split()), phrase
    for phrase in ("show door fourteen", "what is wrong on floor two", "show me the second floor"):
        assert whole.accepts(phrase.split()), phrase
    for phrase in (
        "what is",
        "show",
        "show door",
        "show door fifteen",
        "what is wrong on floor three",
        "late",
    ):
        assert not whole.accepts(phrase.split()), phrase


def test_the_phrases_of_the_table_mean_what_stands_beside_them_and_use_every_written_word() -> None:
    which = DoorResolver(NameIndex((Door(number="14"),), BOOK))
    written = {
        label.text.lower()
        for rule in PHRASES
        for arcs in BOOK.nfa(f"asked.{rule}").arcs
        for label, _ in arcs
        if isinstance(label, Words)
    }
    spoken = set()
    for meaning, phrases in TABLE["asked"].items():
        for phrase in phrases:
            heard = which.read(phrase)
            assert isinstance(heard, AskedQuery)
            assert (
                " ".join(filter(None, (heard.asked.what, heard.asked.every, heard.asked.number)))
                == meaning
            ), phrase
            spoken |= set(phrase.split())
    assert written - spoken == set()
