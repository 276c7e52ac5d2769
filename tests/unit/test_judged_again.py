"""A fault in own words that was judged already: by another supervisor, or wrongly."""

from __future__ import annotations

from pathlib import Path

import pytest
from judged_words import BOOT, ask, logbook, the_defect, told_defect
from visits import NOON

from doorround import wiring
from doorround.domain.defects import State
from doorround.domain.judging.severity import Severity
from doorround.logbook.event_text import EventContext, what
from doorround.logbook.store import Logbook

__all__ = ["logbook"]


@pytest.fixture(autouse=True)
def two_supervisors(logbook: Logbook) -> None:
    logbook.add_person("Ida", "supervisor", NOON)


def test_whoever_comes_second_is_told_what_it_was_named_and_by_whom(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    ask(logbook, f"defect {id} is a hole in it, soon")
    for late in (f"name defect {id}", f"defect {id} is split, planned", f"defect {id} is no fault"):
        told = ask(logbook, late, name="Ida").say[0]
        assert told.text == (
            f"Defect {id} has its name already, from Mona: leaf: a hole in it (“{BOOT}”), soon."
        )
        assert told.taps == (f"rename defect {id}",)
    assert the_defect(logbook).finding.rule == "leaf.hole"


def test_a_dismissed_fault_is_not_named_without_being_opened_again(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    ask(logbook, f"defect {id} is no fault: it is only dirty")
    for late in (
        f"name defect {id}",
        f"defect {id} is split, soon",
        f"defect {id} is no fault: ok",
    ):
        told = ask(logbook, late, name="Ida").say[0]
        assert told.text == (
            f"Defect {id} is closed: no fault, says Mona (it is only dirty)."
            " If it is one, reopen it."
        )
        assert told.taps == (f"reopen defect {id}",)
    defect = the_defect(logbook)
    assert defect.state is State.CLOSED and defect.finding.rule.startswith("leaf.own_words_")
    ask(logbook, f"reopen defect {id}: there is a split under the dirt", name="Ida")
    ask(logbook, f"defect {id} is split, soon", name="Ida")
    defect = the_defect(logbook)
    assert defect.state is State.OPEN and defect.finding.rule == "leaf.split"


def test_a_wrong_name_is_replaced_and_both_are_entries(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    ask(logbook, f"defect {id} is a hole in it, planned")
    which = ask(logbook, f"rename defect {id}").say[0]
    assert f"rename defect {id}: split" in which.taps
    grave = ask(logbook, f"rename defect {id}: split").say[0]
    assert f"rename defect {id}: split, act now" in grave.taps
    ask(logbook, f"rename defect {id}: split, act now", name="Ida")
    defect = the_defect(logbook)
    assert (defect.finding.rule, defect.severity) == ("leaf.split", Severity.ACT_NOW)
    assert defect.what == f"leaf: split (“{BOOT}”)"
    said = [what(entry, EventContext()) for entry in logbook.entries()][-2:]
    assert said == [
        f"Defect {id}, named: a hole in it (“{BOOT}”), planned",
        f"Defect {id}, named: split (“{BOOT}”), act now",
    ]


def test_what_was_named_may_still_turn_out_to_be_no_fault(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    ask(logbook, f"defect {id} is a hole in it, soon")
    why = ask(logbook, f"rename defect {id}: no fault").say[0]
    assert why.taps[0].startswith(f"rename defect {id}: no fault: ")
    ask(logbook, why.taps[0])
    assert the_defect(logbook).state is State.CLOSED


def test_only_a_fault_told_in_own_words_is_renamed(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    told = ask(logbook, f"rename defect {id}: split, soon", name="Robin").say[0].text
    assert told == "Only its supervisors, or whoever has it, can do that."
    assert the_defect(logbook).finding.rule.startswith("leaf.own_words_")


def test_words_kept_under_a_wrong_name_are_replaced(
    logbook: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    words = "the lads hoofed it"
    id = told_defect(logbook, words).id
    keep = wiring.keep_words
    ask(logbook, f"defect {id} is a hole in it, soon", keep)
    ask(logbook, f"keep the words of defect {id}", keep)
    renamed = ask(logbook, f"rename defect {id}: split, soon", keep).say[0]
    assert renamed.taps == (f"keep the words of defect {id}",)
    ask(logbook, renamed.taps[0], keep)
    kept = (tmp_path / "home" / "words.toml").read_text(encoding="utf-8")
    assert kept.count("[[phrase]]") == 1 and 'means = "split"' in kept


@pytest.mark.parametrize(
    ("told", "kept"),
    [
        ("The lads hoofed it.", "the lads hoofed it"),
        ("lads hoofed it, 2 of them!", "lads hoofed it two of them"),
        ("it’s “hoofed” – badly", "it's hoofed badly"),
    ],
)
def test_words_are_kept_without_capitals_signs_and_digits(
    logbook: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, told: str, kept: str
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    id = told_defect(logbook, told).id
    ask(logbook, f"defect {id} is a hole in it, soon", wiring.keep_words)
    said = ask(logbook, f"keep the words of defect {id}", wiring.keep_words).say[0].text
    assert said == f"From now on “{kept}” is understood as “hole”."


def test_of_a_long_sentence_a_few_words_are_kept(
    logbook: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    words = "some herbert's been at it with a craft knife, it's all in ribbons"
    id = told_defect(logbook, words).id
    named = ask(logbook, f"defect {id} is damaged, soon", wiring.keep_words).say[0]
    assert named.taps == ()
    assert named.text.endswith(
        "Nobody will say that word for word again. To have a few of the words understood as that"
        f" from now on, say: keep the words of defect {id}: …"
    )
    said = ask(logbook, f"keep the words of defect {id}: All in ribbons.", wiring.keep_words)
    assert said.say[0].text == "From now on “all in ribbons” is understood as “damaged”."
