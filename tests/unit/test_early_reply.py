"""A yes or a no that was sent before what is read back was shown settles nothing; "finish" that was
sent before the summary signs nothing.
"""

from __future__ import annotations

import pytest
from visits import CORRIDOR, UNDERSTANDING, Visit

from doorround.dialogue.early_reply import as_early
from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.input_result import By, Heard, Said, Unsure
from doorround.domain.values import Command, Word
from doorround.hearing.session.interpretation import typed
from doorround.messages.receiving import SENT_BEFORE, SENT_BEFORE_SUMMARY


def early(visit: Visit, words: str, by: By = By.VOICE) -> list[str]:
    return visit.take(
        as_early(visit.check, typed(UNDERSTANDING, words, expected_input(visit.check), by))
    )


@pytest.mark.parametrize("told", ["maybe damaged", "I think it's fine"])
@pytest.mark.parametrize("words", ["yes", "no", "yeah"])
@pytest.mark.parametrize("by", [By.VOICE, By.TYPING])
def test_an_early_yes_or_no_settles_nothing_and_the_read_back_is_asked_again(
    told: str, words: str, by: By
) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type(told)
    said = early(visit, words, by)
    assert said[0].startswith(f"{SENT_BEFORE} Tap or say yes or no: Frame, this side")
    assert visit.check.stage is Stage.CONFIRMING and visit.check.misses == 0
    assert "frame.here" not in visit.check.answers and visit.check.reported == ()


@pytest.mark.parametrize("words", ["aye", "nah", "yes mate"])
def test_an_early_yes_or_no_in_other_words_settles_nothing(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged")
    assert early(visit, words, By.TYPING)[0].startswith(SENT_BEFORE)
    assert visit.check.pending is not None and "frame.here" not in visit.check.answers


def test_an_early_yes_that_was_hardly_heard_confirms_nothing() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think it's fine")
    heard = typed(UNDERSTANDING, "yes", expected_input(visit.check))
    assert isinstance(heard, Heard)
    visit.take(as_early(visit.check, Unsure(guesses=(heard,))))
    assert "frame.here" not in visit.check.answers


def test_a_fault_is_taken_whenever_it_was_sent() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged")
    early(visit, "glass cracked", By.TYPING)
    assert visit.meaning("glass.here") == "cracked"


def test_a_fault_that_came_with_the_yes_or_the_no_is_taken_and_nothing_confirmed() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think it's fine")
    yes = Said(question=None, value=Command(word=Word.YES), phrase="yes")
    fault = typed(UNDERSTANDING, "glass cracked", expected_input(visit.check))
    assert isinstance(fault, Heard)
    visit.take(as_early(visit.check, fault.model_copy(update={"said": (yes, *fault.said)})))
    assert visit.meaning("glass.here") == "cracked" and "frame.here" not in visit.check.answers


def test_a_fault_that_was_hardly_heard_is_not_taken_for_the_yes_that_it_may_be() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged")
    both = [typed(UNDERSTANDING, words, expected_input(visit.check)) for words in ("split", "yes")]
    heard = Unsure(guesses=tuple(each for each in both if isinstance(each, Heard)))
    assert len(heard.guesses) == 2 and as_early(visit.check, heard) == heard


def test_a_yes_that_was_sent_before_it_was_asked_cancels_no_check() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("cancel")
    assert visit.check.stage is Stage.CANCELLING
    assert early(visit, "yes")[0].startswith(SENT_BEFORE)
    assert visit.check.stage is Stage.CANCELLING


@pytest.mark.parametrize("words", ["finish", "finish check", "done"])
@pytest.mark.parametrize("by", [By.VOICE, By.TYPING])
def test_a_finish_sent_before_the_summary_signs_nothing(words: str, by: By) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("finish")
    assert visit.check.stage is Stage.SUMMARY
    said = early(visit, words, by)
    assert said[0] == SENT_BEFORE_SUMMARY
    assert said[-1].startswith("Say finish check to sign it")
    assert visit.check.stage is Stage.SUMMARY
    visit.type("finish")
    assert visit.check.stage is Stage.SIGNED


def test_a_finish_sent_before_a_reported_fault_was_asked_about_signs_nothing() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged", "finish")
    assert visit.check.stage is Stage.CONFIRMING and visit.check.open is None
    said = early(visit, "finish", By.TYPING)
    assert said[0].startswith(SENT_BEFORE_SUMMARY) and said[-1].endswith("damaged?")
    visit.type("finish")
    assert visit.check.stage is Stage.SIGNED


@pytest.mark.parametrize("by", [By.VOICE, By.TYPING])
def test_an_early_no_before_another_fault_leaves_what_waits(by: By) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged")
    early(visit, "no, it's split", by)
    assert visit.meaning("frame.here") == "split"
    [report] = visit.check.reported
    assert report.question == "frame.here" and report.entered
    assert [each.name for each in report.said.value.defects] == ["damaged"]


@pytest.mark.parametrize("by", [By.VOICE, By.TYPING])
def test_an_early_no_before_a_pass_passes_nothing(by: By) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged")
    said = early(visit, "no, undamaged", by)
    assert said[-1].startswith("Frame, this side: sound, not damaged. Right?")
    assert "frame.here" not in visit.check.answers and len(visit.check.reported) == 1
    visit.type("yes")
    assert visit.meaning("frame.here") == "sound" and visit.check.reported == ()


def test_an_early_no_before_a_fault_takes_none_that_stands() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("damaged", "maybe frame loose")
    assert visit.check.pending is not None
    early(visit, "no, frame split", By.TYPING)
    assert visit.meaning("frame.here") == "damaged; split"
    assert len(visit.check.reported) == 1


def test_a_number_behind_an_early_no_passes_nothing_at_the_summary() -> None:
    visit = Visit(CORRIDOR).go_to("gaps.sides")
    visit.type("3 mm", "finish check")
    assert visit.check.stage is Stage.SUMMARY
    early(visit, "no, 4 mm", By.TYPING)
    assert visit.check.stage is Stage.CONFIRMING and visit.meaning("gaps.sides") == "3 mm"


@pytest.mark.parametrize("how", ["early", "in time"])
def test_another_fault_leaves_own_words_that_were_entered_as_reported(how: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("dunno mate", "skip", "change frame", "dunno mate", "undamaged and firm")
    assert visit.check.stage is Stage.CONFIRMING
    if how == "early":
        early(visit, "no, split", By.TYPING)
    else:
        visit.type("no, split")
    assert visit.meaning("frame.here") == "split"
    [report] = visit.check.reported
    assert report.entered and report.said.phrase == "dunno mate"


@pytest.mark.parametrize("line", [SENT_BEFORE, SENT_BEFORE_SUMMARY])
def test_what_is_said_of_it_is_true_also_if_nobody_knows_whether_it_was_shown(line: str) -> None:
    assert line.startswith("You may have sent that before you saw ")
