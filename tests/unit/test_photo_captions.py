"""Captions of photos at every stage of a check: kept word for word, taken up where they tell a
fault, and never a yes, a command, or a pass that nobody confirmed.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from own_words_typed import UNDERSTAND
from passes import PASSES
from talk_window import Window
from visits import NOON, door, in_short

from doorround.dialogue.photos import Photo, shown_now
from doorround.domain.check import Check, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.judging.judge import verdict
from doorround.logbook.store import Logbook

SHA256 = "a" * 64


class Album(Window):
    """A chat in which photos are sent too."""

    photos = 0

    def shows(self, caption: str, shown: str | None = None) -> list[str]:
        """One photo with a caption; what the bot says to what the caption tells. shown: what the
        photo belongs to, if not to what is asked now.
        """
        self.photos += 1
        id, at = f"photo {self.photos}", NOON + timedelta(minutes=self.photos)
        check = self.talk.check
        if check is None:
            return [each.text for each in self.talk.captions.note(id, caption, at)]
        question = shown_now(check) if shown is None else shown
        self.talk.photographed(id, Photo(SHA256, caption), question or None, at)
        said = self.talk.captions.take(f"{id}/taken", caption, question, at)
        assert self.talk.captions.take(f"{id}/taken", caption, question, at) == said
        return [each.text for each in said]

    @property
    def check(self) -> Check:
        assert self.talk.check is not None
        return self.talk.check

    def go_to(self, key: str | None) -> None:
        while self.check.open != key:
            self.says(PASSES[self.check.open or ""])

    def meaning(self, key: str) -> str:
        return in_short(self.check.answers[key].value)

    def passed(self) -> set[str]:
        found = self.check.answers.items()
        return {
            key
            for key, each in found
            if verdict(each.value, self.check.findings[key]) is Verdict.SOUND
        }


@pytest.fixture
def album(tmp_path: Path) -> Iterator[Album]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Robin", "caretaker", NOON)
        logbook.add_door(door("12"), "Robin", NOON)
        album = Album(logbook, "terminal/Robin", understand=UNDERSTAND)
        album.says("12")
        yield album
        assert logbook.verify() == []


def notes(album: Album) -> list[tuple[str | None, str]]:
    entries = album.talk._logbook.entries()
    return [(each.door, each.body["text"]) for each in entries if each.kind is EntryKind.NOTED]


STAGES = {
    "asked": ("leaf.here", ()),
    "a pass read back": ("leaf.here", ("I think it's undamaged, no holes",)),
    "a fault read back": ("leaf.here", ("maybe split",)),
    "a measure read back": ("gaps.sides", ("I think eight",)),
    "the summary": (None, ()),
    "the summary of a reported fault": ("leaf.here", ("maybe split", "skip")),
    "cancelling": ("leaf.here", ("cancel",)),
    "paused": ("leaf.here", ("pause",)),
    "noting": ("leaf.here", ("note",)),
    "telling a fault": ("leaf.here", ("that's a fault",)),
}
NO_FAULTS = (
    *("yes", "no", "finish", "finish check", "cancel", "skip", "undo", "pause", "another door"),
    *("undamaged, no holes", "it's fine", "all fine", "yes it's fine", "four", "no, four"),
    *("by the post room", "the sign, close up", "as you can see", "before and after", "door 12"),
)


def at_stage(album: Album, stage: str) -> None:
    key, lines = STAGES[stage]
    album.go_to(key)
    album.says(*lines)


@pytest.mark.parametrize("stage", STAGES)
def test_no_caption_settles_passes_or_commands_anything(album: Album, stage: str) -> None:
    at_stage(album, stage)
    before, passed = album.check, album.passed()
    for count, caption in enumerate(NO_FAULTS, start=1):
        album.shows(caption)
        check = album.check
        assert album.passed() == passed, caption
        assert check.answers == before.answers, caption
        assert check.reported == before.reported and not check.closed, caption
        assert len(notes(album)) == count and notes(album)[-1] == ("12", caption)
        if before.stage is not Stage.ASKING:
            assert (check.stage, check.pending) == (before.stage, before.pending), caption
        elif check.stage is Stage.CONFIRMING:  # a pass, which waits for a yes
            album.says("no")


@pytest.mark.parametrize("stage", ["asked", "a pass read back", "a measure read back"])
@pytest.mark.parametrize("caption", ["top hinge is loose", "closer leaks oil"])
def test_a_fault_of_another_part_is_taken_and_the_open_question_stays(
    album: Album, stage: str, caption: str
) -> None:
    at_stage(album, stage)
    pending, asked = album.check.pending, album.check.open
    album.shows(caption)
    faults = {key for key in album.check.answers if key not in album.passed()}
    waiting = {each.question for each in album.check.reported}
    read_back = album.check.pending.said if album.check.pending else ()
    told = faults | waiting | {each.question for each in read_back}
    assert told & {"hinges.fixings", "closer.full"}
    assert album.check.open == asked
    if pending is not None:
        assert album.check.pending == pending


def test_a_fault_in_a_caption_answers_the_open_question(album: Album) -> None:
    album.go_to("leaf.here")
    said = album.shows("split at the bottom")
    assert said[0] == "Leaf, this side: split, bottom."
    assert album.meaning("leaf.here") == "split, bottom"
    assert notes(album) == [("12", "split at the bottom")]


def test_bare_words_are_about_what_the_photo_shows(album: Album) -> None:
    album.go_to("leaf.here")
    album.says("split")
    assert album.check.open == "glass.here"
    album.shows("a hole too", shown="leaf.here")
    assert album.meaning("leaf.here") == "split; hole"
    assert "glass.here" not in album.check.answers and album.check.open == "glass.here"


def test_a_fault_that_is_known_is_said_to_be_known(album: Album) -> None:
    album.go_to("leaf.here")
    album.says("split")
    assert album.shows("split")[0] == "Leaf, this side: split. I have that already."


def test_a_caption_that_repeats_what_is_read_back_does_not_confirm_it(album: Album) -> None:
    album.go_to("leaf.here")
    album.says("maybe split")
    album.shows("split")
    assert "leaf.here" not in album.check.answers
    assert album.check.reported or album.check.pending


def test_bare_words_of_a_photo_that_came_late_answer_nothing(album: Album) -> None:
    album.go_to("leaf.here")
    before = album.check
    assert album.shows("split", shown="") == [] and album.check == before
    album.shows("the glass is cracked", shown="")
    told = {*album.check.answers, *(each.question for each in album.check.reported)}
    pending = album.check.pending
    told |= {each.question for each in pending.said} if pending else set()
    assert "glass.here" in told and "leaf.here" not in album.check.answers


@pytest.mark.parametrize("caption", ["undamaged, no holes", "no damage"])
def test_a_pass_in_a_caption_waits_for_a_yes(album: Album, caption: str) -> None:
    album.go_to("leaf.here")
    said = album.shows(caption)
    assert said[-1].endswith("Right?") and "leaf.here" not in album.check.answers
    album.says("yes")
    assert album.meaning("leaf.here") == "sound"


def test_a_sentence_that_is_not_understood_is_said_to_be_only_a_note(album: Album) -> None:
    album.go_to("sign.here")
    [said] = album.shows("somebody's had a right old go at this one")
    assert said == "I kept that as a note only. If it tells a fault, say or type what is wrong."


def test_after_the_signature_a_fault_is_noted_with_its_door(album: Album) -> None:
    album.go_to(None)
    album.says("finish")
    [said] = album.shows("the leaf's split")
    assert said.startswith("No check is open. I've noted “the leaf's split” with door 12")
    [other] = album.shows("the lobby")
    assert other == "Noted: “the lobby”."
    assert notes(album) == [("12", "the leaf's split"), (None, "the lobby")]
