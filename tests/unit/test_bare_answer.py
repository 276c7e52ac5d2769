"""A yes or no alone where it is asked how a part is: a yes passes nothing before it was read back
by part and meaning, a no tells that something is wrong and not what.
"""

from __future__ import annotations

import pytest
from visits import CORRIDOR, Visit

from doorround.domain.check import Stage
from doorround.domain.input_result import By, OffGrammar
from doorround.messages import asking

IN_PARTS = [
    "sign.here",
    "frame.here",
    "leaf.here",
    "latch",
    "seals",
    "hinges.fixings",
    "closer.full",
]


@pytest.mark.parametrize("key", IN_PARTS)
def test_a_typed_yes_is_read_back_and_passes_only_then(key: str) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    [line] = visit.type("yes")
    assert line.endswith("Right?") and visit.check.stage is Stage.CONFIRMING
    assert visit.meaning(key) is None and visit.check.misses == 0
    visit.type("yes")
    assert visit.meaning(key) == "sound"


def test_a_yes_that_is_denied_passes_nothing() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("yes it is", "no")
    assert visit.meaning("frame.here") is None and visit.check.open == "frame.here"


@pytest.mark.parametrize("words", ["no", "No.", "nope", "no it isn't", "they are not"])
@pytest.mark.parametrize("key", IN_PARTS)
def test_a_no_is_asked_what_is_wrong(key: str, words: str) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    assert visit.type(words)[0] == asking.WHAT_IS_WRONG
    assert visit.turn.say[-1].taps and visit.check.open == key
    assert visit.meaning(key) is None and visit.check.misses == 0


def test_a_yes_that_was_only_heard_is_asked_for_in_full() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    heard = OffGrammar(by=By.VOICE, transcript="Yes.", audio_sha256="ab" * 32)
    assert visit.take(heard)[0] == asking.YES_IN_FULL
    assert visit.check.stage is Stage.ASKING and visit.meaning("frame.here") is None
    visit.take(heard)
    assert "frame.here" in visit.check.put_off


def test_where_a_yes_is_an_answer_it_stays_one() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("split top left", "yes")
    assert visit.meaning("frame.here") != "sound"


def test_what_is_not_understood_at_a_read_back_is_told_again_before_the_signature() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("yes", "it all went wonky on tuesday", "yes")
    assert visit.check.unread_at_end == ("it all went wonky on tuesday",)
    visit.all_well()
    visit.type("finish check")
    assert any("it all went wonky on tuesday" in line for line in visit.said)


@pytest.mark.parametrize("words", ["yes", "no", "ok thanks", "what happens now?", "is that it?"])
def test_a_yes_or_a_question_at_the_summary_is_no_fault_that_was_not_understood(
    words: str,
) -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.take(OffGrammar(by=By.TYPING, words=words))
    assert visit.check.stage is Stage.SUMMARY
    assert visit.said[-1] == "Say finish check to sign it, or change and the part's name."
    assert visit.type("finish check")[0].startswith("Signed.")


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("aye", "damaged"),
        ("yup", "damaged"),
        ("correct", "damaged"),
        ("yes mate", "damaged"),
        ("spot on", "damaged"),
        ("nah", None),
        ("naw", None),
        ("no mate", None),
    ],
)
def test_a_yes_or_a_no_to_a_read_back_is_typed_in_any_british_word(
    words: str, value: str | None
) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged", words)
    assert visit.meaning("frame.here") == value and visit.check.pending is None
    assert visit.turn.message is not None and visit.turn.message.body["words"] == words


@pytest.mark.parametrize("words", ["ok", "okay mate", "yes but the glass is cracked", "ta"])
def test_what_may_be_something_else_confirms_nothing(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged", words)
    assert visit.meaning("frame.here") is None


def test_a_recording_that_was_written_as_aye_confirms_nothing() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think it's fine")
    visit.take(OffGrammar(by=By.VOICE, transcript="Aye.", audio_sha256="ab" * 32))
    assert visit.meaning("frame.here") is None
