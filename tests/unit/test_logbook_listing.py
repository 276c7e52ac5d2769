"""The logbook as an auditor reads it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import small_visit as visit

from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Stage
from doorround.domain.door import Use
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.input_result import By
from doorround.logbook.chain import canonical_json, digest
from doorround.logbook.listing import EntryFilter, show_json, show_lines
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """A visit with a correction, an answer taken back, a note and a skip."""
    with Logbook.open(tmp_path / "logbook.db", zone="Europe/London") as logbook:
        logbook.add_person("Ines", "caretaker", visit.at(-6))
        logbook.add_door(visit.door(rating="FD30S"), "Mona", visit.at(-5))
        logbook.change_door(
            visit.door(rating="FD30S", use=Use.STAIR, hinges=3), "Mona", visit.at(-4)
        )
        turn = visit.start(visit.door())
        logbook.begin("chat", turn)
        for make in (
            lambda check: visit.answer(check, "glass.kind", visit.WIRED, 1, heard="wired"),
            lambda check: visit.answer(
                check, "seals", visit.PAINTED, 2, heard="painted on this side"
            ),
            lambda check: visit.answer(check, "seals", visit.SOUND, 3, heard="no, fine"),
            lambda check: visit.answer(check, "closer.shuts", visit.YES, 4, heard="yes"),
            lambda check: visit.withdraw(check, "closer.shuts", 5),
            lambda check: visit.note(check, "draughty [bold]\x1b[31m", 6),
            lambda check: visit.pause(check, 7),
            lambda check: visit.pause(check, 8, Stage.ASKING),
            lambda check: visit.close(check, 9),
        ):
            turn = make(turn.check)
            logbook.keep("chat", None, turn)
        yield logbook


def told(logbook: Logbook, **wanted: str) -> list[str]:
    """Lines without time and hash, blanks run together."""
    return [
        " ".join(line.split()[:1] + line.split()[4:-1])
        for line in show_lines(logbook, EntryFilter(**wanted), width=220)
    ][1:]


def test_every_entry_is_told_in_the_trades_words(logbook: Logbook) -> None:
    wording = logbook.check("c1").checklist[:8]
    assert told(logbook) == [
        "1 Ines Made known: Ines, caretaker",
        "2 14 Mona Added to the register. Door 14: East, 1. FD30S.",
        "3 14 Mona Register: use: stair; hinges: 3",
        f"4 14 Ines Check c1 started: Small check (wording {wording})",
        '5 14 Ines Glass: wired voice 0.97 "wired"',
        "6 14 Ines Register: glazing: wired",
        (
            '7 14 Ines Seals: painted over, this side (corrected by entry 9) voice 0.97 "painted on'
            ' this side"'
        ),
        (
            "8 14 Ines Finding, soon: seals painted over (common practice, no source) (corrected by"
            " entry 9)"
        ),
        '9 14 Ines Seals: sound (corrects entry 7: painted over, this side) voice 0.97 "no, fine"',
        '10 14 Ines Closer: yes (withdrawn by entry 11) voice 0.97 "yes"',
        "11 14 Ines Withdrawn: entry 10, Closer: yes",
        '12 14 Ines Note: "draughty [bold] [31m"',
        "13 14 Ines Check paused",
        "14 14 Ines Check carried on",
        "15 14 Ines Check signed: sound, 2 answers; not checked: Closer",
    ]


def test_a_line_has_the_sites_own_time_and_the_start_of_the_hash(logbook: Logbook) -> None:
    logbook.add_door(visit.door("15"), "Mona", datetime(2026, 7, 1, 8, 0, tzinfo=UTC))
    line = list(show_lines(logbook, EntryFilter(door="15")))[-1]
    assert line.split()[:4] == ["16", "2026-07-01", "09:00:00", "BST"]
    assert line.split()[-1] == logbook.head().hash[:8]


def test_the_table_keeps_to_its_width(logbook: Logbook) -> None:
    assert max(map(len, show_lines(logbook, width=100))) <= 100


def test_typed_and_tapped_answers_say_so(logbook: Logbook) -> None:
    turn = visit.start(visit.door(), id="c2", minute=20)
    logbook.begin("chat", turn)
    for by, sure, question in ((By.TYPING, False, "seals"), (By.TAP, True, "closer.shuts")):
        turn = visit.answer(
            turn.check,
            question,
            visit.SOUND if question == "seals" else visit.YES,
            21,
            heard="as said",
        )
        body = {**turn.enter[0].body, "by": by.value, "confirmed": sure}
        logbook.keep(
            "chat", None, Turn(turn.check, (), (turn.enter[0].model_copy(update={"body": body}),))
        )
    assert told(logbook, check="c2")[1:] == [
        '17 14 Ines Seals: sound typed "as said"',
        '18 14 Ines Closer: yes tapped "as said", confirmed',
    ]


def test_a_skipped_question_is_named_by_its_part(logbook: Logbook) -> None:
    turn = visit.start(visit.door(), id="c2", minute=20)
    logbook.begin("chat", turn)
    skip = Entry(
        kind=EntryKind.SKIPPED,
        at=visit.at(21),
        person="Ines",
        door="14",
        check="c2",
        body={"question": "seals"},
    )
    logbook.keep("chat", None, Turn(turn.check, (), (skip,)))
    assert told(logbook, check="c2")[-1] == "17 14 Ines Seals: skipped"
    unheard = {"question": "seals", "again": True, "why": "not understood"}
    logbook.keep("chat", None, Turn(turn.check, (), (skip.model_copy(update={"body": unheard}),)))
    assert told(logbook, check="c2")[-1] == "18 14 Ines Seals: not understood, left open"


def test_an_entry_that_cannot_be_put_into_words_is_shown_as_it_is(logbook: Logbook) -> None:
    with logbook.writing():
        logbook._enter(
            [
                Entry(
                    kind=EntryKind.SKIPPED,
                    at=visit.at(30),
                    person="Ines",
                    body={"question": "moat"},
                )
            ]
        )
    assert told(logbook)[-1] == '16 Ines skipped: {"question":"moat"}'


def test_json_has_one_object_an_entry_that_proves_its_own_hash(logbook: Logbook) -> None:
    for line in show_json(logbook):
        entry = json.loads(line)
        names = ("seq", "at", "zone", "kind", "door", "check", "person", "body", "before")
        fields = [canonical_json(entry[name]) if name == "body" else entry[name] for name in names]
        assert digest(fields) == entry["hash"]
        assert line.isascii() and "\x1b" not in line


def test_json_says_what_became_of_an_answer(logbook: Logbook) -> None:
    entries = [json.loads(line) for line in show_json(logbook, EntryFilter(check="c1"))]
    fates = {
        entry["seq"]: (entry["corrected_by"], entry["withdrawn_by"])
        for entry in entries
        if "corrected_by" in entry
    }
    assert fates == {5: (None, None), 7: (9, None), 9: (None, None), 10: (None, 11)}
    assert entries[0]["local"] == "2026-03-02 08:00:00 GMT"


def test_long_logbooks_are_shown_whole(logbook: Logbook) -> None:
    with logbook.writing():
        for number in range(1200):
            logbook.add_door(visit.door(f"n{number}"), "Mona", visit.at(40))
    assert [json.loads(line)["seq"] for line in show_json(logbook)] == list(range(1, 1216))


def test_an_empty_logbook_shows_its_headings_only(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "new.db") as logbook:
        assert [line.split() for line in show_lines(logbook)] == [
            ["No.", "Local", "time", "Door", "Who", "What", "How", "heard", "Hash"]
        ]
        assert list(show_json(logbook)) == []
