"""Replies, changed messages, and everything at once after a dead spot."""

from __future__ import annotations

import pytest
from media import MediaStandIn, WordsPool, add_known_door, picture, replies_to, settled
from service import prepare, serving, until

from doorround.logbook.listing import show_lines
from doorround.logbook.photos import photos
from doorround.messages.receiving import (
    EDIT_ASKED_LATER,
    EDIT_OF_NO_ANSWER,
    EDIT_TOO_LATE,
    ONLY_TYPED_WORDS,
    READ_BACK_EARLIER,
    REPLY_TOO_LATE,
)

SIGN = ("12", "all clear", "right and readable", "undamaged and firm")


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


def answers(logbook):
    return {each.question: each for each in logbook.answers(logbook.checks()[0].id)}


def notes(logbook):
    return [row[0] for row in logbook._rows("SELECT text FROM notes ORDER BY seq")]


async def changed(server, logbook, message: int, **content) -> str:
    """Change a message; what the bot says to it."""
    await settled(logbook)
    count = len(server.to(1))
    server.change(1, message, **content)
    await until(lambda: len(server.to(1)) > count)
    return server.shown(1)[-1]


async def said(server, text: str) -> int:
    """A message that is answered; its number."""
    await server.talk(1, text)
    return next(
        each["message"]["message_id"]
        for each in reversed(server.seen)
        if each["message"].get("text") == text
    )


async def test_a_changed_message_amends_its_answer_and_a_pass_waits_for_a_yes(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, *SIGN)
        leaf = await said(server, "undamaged")
        line = await changed(server, logbook, leaf, text="cracked")
        assert line.startswith("Leaf, this side: split.") and "glass" in line
        assert server.to(1)[-1]["given"]["reply_parameters"].count(str(leaf)) == 1
        assert answers(logbook)["leaf.here"].id == "leaf.here#2"
        assert 'message changed to "cracked"' in " ".join(
            "\n".join(show_lines(logbook, width=220)).split()
        )
        # changed once more, it amends what it says now; back to a pass only after a yes
        assert (
            await changed(server, logbook, leaf, text="undamaged")
            == "Leaf, this side: sound, not split. Right?"
        )
        assert answers(logbook)["leaf.here"].id == "leaf.here#2"
        await server.talk(1, "yes")
        assert answers(logbook)["leaf.here"].corrects == "leaf.here#2"
        assert await changed(server, logbook, leaf, text="split") != ""
        assert answers(logbook)["leaf.here"].id == "leaf.here#4" and logbook.verify() == []


async def test_a_message_that_was_read_back_can_be_changed_too(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, *SIGN)
        leaf = await said(server, "good")
        assert server.shown(1)[-1] == "Leaf, this side: sound. Right?"
        server.tap(1, server.to(1)[-1]["buttons"][0]["callback_data"])
        await until(lambda: "leaf.here" in answers(logbook))
        assert (await changed(server, logbook, leaf, text="cracked")).startswith(
            "Leaf, this side: split."
        )


async def test_changes_that_can_change_nothing_are_refused_kindly(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        door = await said(server, "12")
        assert await changed(server, logbook, door, text="13") == EDIT_OF_NO_ANSWER
        clear = await said(server, "all clear")
        before = answers(logbook)
        assert await changed(server, logbook, 9999, text="wedged open") == EDIT_ASKED_LATER
        kept = [each.body["words"] for each in logbook.entries() if each.kind == "message"]
        assert kept[-2:] == ["all clear", "wedged open"]
        assert (await changed(server, logbook, clear, text="lunch")).startswith(
            "“lunch” doesn't answer Doorway. What you said before stands: sound."
        )
        buttons = [each["buttons"] for each in server.to(1) if each["buttons"]][-1]
        server.tap(1, buttons[0]["callback_data"])
        await until(
            lambda: "sign.here" in answers(logbook)
        )  # no refusal made the question's buttons stale
        await settled(logbook)
        await server.talk(1, "finish", "finish", "finish")  # once for the words kept
        assert await changed(server, logbook, clear, text="wedged open") == EDIT_TOO_LATE
        await server.talk(1, "12")
        assert await changed(server, logbook, clear, text="wedged open") == EDIT_TOO_LATE
        assert (
            answers(logbook)["clear"] == before["clear"] and logbook.checks()[0].stage == "signed"
        )


async def test_changed_notes_and_captions_amend_the_note(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        note = (await server.talk(1, "12")) and await said(server, "note handle sticks")
        assert (
            await changed(server, logbook, note, text="note handle sticks badly")
            == "Note changed: “handle sticks badly”."
        )
        photo = server.photo(1, picture(), caption="left edge")
        await until(lambda: len(notes(logbook)) == 2)
        content = dict(
            next(each["message"] for each in server.seen if each["message"]["message_id"] == photo)
        )
        same = {"photo": content["photo"]}
        assert (
            await changed(server, logbook, photo, caption="right edge", **same)
            == "Note changed: “right edge”."
        )
        assert notes(logbook) == ["handle sticks badly", "right edge"]
        assert len(photos(logbook)) == 1
        assert await changed(server, logbook, photo, **same) == "Note taken back."
        assert notes(logbook) == ["handle sticks badly"]
        # another picture put into the message is one more photo of the same part
        other = [server.file(picture("blue"), width=1280, height=960)]
        await changed(server, logbook, photo, photo=other)
        assert (
            len({each.sha256 for each in photos(logbook)}) == 2
            and len({each.question for each in photos(logbook)}) == 1
        )


async def test_a_recordings_words_cannot_be_changed(home):
    async with MediaStandIn() as server, serving(home, server, WordsPool()) as logbook:
        await server.talk(1, "12")
        voice = server.note(1, "all clear")
        await until(lambda: "clear" in answers(logbook))
        content = next(
            each["message"] for each in server.seen if each["message"]["message_id"] == voice
        )
        assert (
            await changed(server, logbook, voice, voice=content["voice"], caption="wedged open")
            == ONLY_TYPED_WORDS
        )


@pytest.mark.parametrize("by", ["voice", "typing"])
async def test_a_reply_answers_the_question_it_replies_to(home, by):
    async with MediaStandIn() as server, serving(home, server, WordsPool()) as logbook:
        say = server.note if by == "voice" else server.say
        clear = await server.talk(1, "12")
        frame = await server.talk(1, "all clear", "right and readable")
        await server.talk(1, "skip")
        say(1, "undamaged and firm", **replies_to(frame["id"]))
        await until(lambda: "frame.here" in answers(logbook))
        assert "leaf" in server.shown(1)[-1]
        # answered since: corrected, and on where the talk stood
        say(1, "wedged open", **replies_to(clear["id"]))
        await until(lambda: answers(logbook)["clear"].id == "clear#2")
        assert answers(logbook)["clear"].by == by
        await until(lambda: "leaf" in server.shown(1)[-1])


async def test_a_reply_to_a_closed_check_is_refused_and_its_recording_kept(home):
    async with MediaStandIn() as server, serving(home, server, WordsPool()) as logbook:
        clear = await server.talk(1, "12")
        await server.talk(1, "all clear", "finish", "finish", "12")
        before = logbook.head()
        for say in (server.note, server.say):
            count = len(server.to(1))
            say(1, "wedged open", **replies_to(clear["id"]))
            await until(lambda count=count: len(server.to(1)) > count)
            assert server.shown(1)[-1].startswith(REPLY_TOO_LATE)
        assert logbook.head() == before
        assert [file.read_bytes() for file in (home / "recordings").iterdir()] == [b"wedged open"]


async def test_an_old_read_back_is_not_confirmed_by_a_reply_to_it(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        old = await server.talk(1, *SIGN, "good")
        assert old["text"] == "Leaf, this side: sound. Right?"
        await server.talk(1, "no", "undamaged", "good")
        assert server.shown(1)[-1] == "Glass, this side: sound. Right?"
        server.say(1, "yes", **replies_to(old["id"]))
        await until(lambda: server.shown(1)[-1].startswith(READ_BACK_EARLIER))
        assert "glass.here" not in answers(logbook)


async def test_a_reply_to_ones_own_message_is_about_its_answer(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, *SIGN)
        leaf = await said(server, "undamaged")
        server.photo(1, picture(), **replies_to(leaf))
        await until(lambda: photos(logbook))
        assert photos(logbook)[0].question == "leaf.here"
        server.say(1, "cracked", **replies_to(leaf))
        await until(lambda: answers(logbook)["leaf.here"].id == "leaf.here#2")


@pytest.mark.parametrize(
    ("now", "told"),
    [
        ("cracked", "Leaf, this side: split."),
        ("lunch", "“lunch” doesn't answer this, so I've dropped what I read back."),
    ],
)
async def test_the_button_of_a_read_back_whose_message_was_changed_enters_nothing(home, now, told):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, *SIGN)
        leaf = await said(server, "good")
        asked = server.to(1)[-1]
        assert server.shown(1)[-1] == "Leaf, this side: sound. Right?"
        assert (await changed(server, logbook, leaf, text=now)).startswith(told)
        server.tap(1, asked["buttons"][0]["callback_data"])
        await settled(logbook)
        assert all(
            each.value.defects for key, each in answers(logbook).items() if key == "leaf.here"
        )
        assert ("leaf.here" in answers(logbook)) == (now == "cracked") and logbook.verify() == []


async def test_a_fault_whose_message_was_changed_to_a_pass_waits_for_a_yes_that_denies_it(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, *SIGN)
        leaf = await said(server, "I think split")
        assert (
            await changed(server, logbook, leaf, text="undamaged")
            == "Leaf, this side: sound, not split. Right?"
        )
        assert "leaf.here" not in answers(logbook)
        await server.talk(1, "yes")
        assert not answers(logbook)["leaf.here"].value.defects


async def test_an_old_button_that_says_the_wedge_is_out_still_says_so(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12", "wedged open")
        buttons = [each for message in server.to(1) for each in message["buttons"]]
        wedge = next(each for each in buttons if each["text"] == "no, took the wedge out")
        await server.talk(1, "right and readable")
        server.tap(1, wedge["callback_data"])
        await until(
            lambda: server.shown(1)[-1] == "Doorway: wedged open, made good on the spot. Right?"
        )
        await server.talk(1, "yes")
        assert [each.made_good for each in answers(logbook)["clear"].value.defects] == [True]
        # it stands no longer: the button is an old one now
        await settled(logbook)
        count = len(answers(logbook))
        server.tap(1, wedge["callback_data"])
        await settled(logbook)
        assert len(answers(logbook)) == count and answers(logbook)["clear"].confirmed
