"""A talk that a colleague would hold: what is said once, to whom, and what is no miss."""

from __future__ import annotations

from pathlib import Path

import pytest
from visits import CORRIDOR, UNKNOWN, Visit, visit_at

from doorround.channels.terminal.terminal import MistypedError, as_incoming
from doorround.domain.check import Stage
from doorround.domain.input_result import By, OffGrammar, Silence
from doorround.messages import asking


def no_record() -> bytes:
    raise AssertionError("nothing is recorded here")


# ---- what comes back


def test_back_to_what_you_skipped_is_said_once() -> None:
    visit = Visit(CORRIDOR)
    said = list(visit.type("skip", "skip"))
    while visit.check.stage is Stage.ASKING and visit.check.open != "clear":
        said += visit.take(pass_of(visit))
    assert visit.check.open == "clear"
    said += visit.type("all clear") + visit.type("right and readable")
    assert said.count(asking.BACK_TO_SKIPPED) == 1 and visit.check.stage is Stage.SUMMARY


def pass_of(visit: Visit):
    from visits import PASSES, UNDERSTANDING

    from doorround.dialogue.expected_input import expected_input
    from doorround.hearing.session.interpretation import typed

    return typed(UNDERSTANDING, PASSES[visit.check.open or ""], expected_input(visit.check))


def test_each_kind_that_comes_back_is_told_once() -> None:
    visit = Visit(CORRIDOR)
    visit.type("skip")
    for _ in range(2):
        visit.take(Silence())
    assert visit.check.unheard == ("sign.here",)
    said = []
    while visit.check.open not in ("clear", None):
        said += visit.take(pass_of(visit))
    said += visit.type("all clear") + visit.type("right and readable")
    assert [line for line in said if line.startswith("Back to")] == [
        asking.BACK_TO_SKIPPED,
        asking.BACK_TO_MISSED,
    ]


# ---- heard, or read


def missed(visit: Visit, by: By) -> list[str]:
    said: list[str] = []
    for _ in range(6):
        said += visit.take(OffGrammar(by=by, words="lunch" if by is By.TYPING else None))
    return said


def test_i_cannot_hear_you_is_said_to_speech_alone() -> None:
    assert asking.NOBODY_HEARD in missed(Visit(CORRIDOR), By.VOICE)
    typed = missed(Visit(CORRIDOR), By.TYPING)
    assert asking.NOBODY_HEARD not in typed and asking.NOT_FOLLOWED in typed


def test_an_empty_message_is_no_miss_and_nobody_is_said_not_to_be_heard() -> None:
    visit = Visit(CORRIDOR)
    assert visit.take(Silence(by=By.TYPING))[0] == "There was nothing in that message."
    assert visit.check.misses == 0 and visit.check.open == "clear"


# ---- mistyped


@pytest.mark.parametrize("line", [":4", ":0", ":99", " :7 ", ":123456789", ":x", ":", ": two"])
def test_a_button_that_is_not_there_is_no_answer(line: str) -> None:
    with pytest.raises(MistypedError, match=r"no button \S+ here. They are :1 to :3"):
        as_incoming(line, "1", ("a", "b", "c"), no_record)


@pytest.mark.parametrize(
    "line",
    [
        "/tmp/nothing here.ogg",
        "note1.wav",
        "~/a.m4a",
        "'./b.mp3'",
        "/tmp/note",
        "~/note",
        "./note",
        "../note.txt",
        r"C:\notes\a",
        "voice.wave",
        "IMG_1.jpg",
    ],
)
def test_a_voice_file_that_is_not_there_is_no_answer(line: str) -> None:
    with pytest.raises(MistypedError, match="Check its path; nothing was entered"):
        as_incoming(line, "1", (), no_record)


@pytest.mark.parametrize(
    "line",
    [
        "note the file was a.ogg",
        "3 mm",
        "split: top",
        "seals.wav ok",
        "/skip",
        "n/a",
        ": two missing",
    ],
)
def test_words_are_words(line: str) -> None:
    assert as_incoming(line, "1", ("a",), no_record).text == line


def test_a_button_by_its_number_and_a_file_by_its_path(tmp_path: Path) -> None:
    assert as_incoming(" :2 ", "1", ("a", "b"), no_record).text == "b"
    file = tmp_path / "two words.ogg"
    file.write_bytes(b"sound")
    assert as_incoming(str(file), "1", (), no_record).recording == b"sound"


def test_a_file_that_is_no_recording_is_told_so(tmp_path: Path) -> None:
    file = tmp_path / "list.pdf"
    file.write_bytes(b"list")
    with pytest.raises(MistypedError, match="is not a voice file"):
        as_incoming(str(file), "1", (), no_record)


# ---- not applicable, at a fact of the register


def test_not_applicable_at_a_fact_of_the_register_is_told_and_is_no_miss() -> None:
    visit = Visit(UNKNOWN)
    question = visit.check.open
    said = visit.type("n/a")
    assert said[0] == "That is a fact of every door. Say not known if you can't tell."
    assert visit.check.open == question and visit.check.misses == 0


@pytest.mark.parametrize(
    ("key", "answer", "echo"),
    [
        ("lock", "it was locked", "Lock: locked."),
        ("mark", "there is a mark", "Glass mark: there."),
        ("alarm_release", "seen to let go", "Hold-open on the alarm: seen to let go."),
    ],
)
def test_a_yes_is_said_back_as_what_it_says_of_the_door(key: str, answer: str, echo: str) -> None:
    assert visit_at(key).type(answer)[0] == echo
