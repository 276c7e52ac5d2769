"""In a check, what the register says is changed by voice: each file's name is what is said. At a
question of a part, at one of the register and at a count none of them is an answer.
"""

from pathlib import Path

import pytest

from doorround.domain.values import Command, Word
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.engines.recogniser import Outcome
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import allowed_at
from tests.read_once import usual_ear

ABOUT = {
    "change rating": "register.rating",
    "change the use": "register.use",
    "change kind of closer": "register.closer",
    "change door": "register",
    "change material": "register.material",
    "change number of leaves": "register.leaves",
}


def heard_at(question: str, words: str) -> tuple[Outcome, str | None]:
    path = Path(__file__).parent / "commands" / f"{words.replace(' ', '-')}.ogg"
    found = usual_ear().listen(load_sound(path), allowed_at(question)[0])
    return found.outcome, found.phrase


@pytest.mark.parametrize("question", ["leaf.here", "register.material", "hinges.count"])
@pytest.mark.parametrize("words", ABOUT)
def test_what_is_to_be_changed_is_heard_and_is_no_answer(words: str, question: str) -> None:
    outcome, phrase = heard_at(question, words)
    if outcome is not Outcome.HEARD:
        return  # asked again; how many are heard: below
    told = load_understanding().words(phrase or "", allowed_at(question)[1])
    assert told is not None
    assert [each.value for each in told.said] == [Command(word=Word.CHANGE, about=ABOUT[words])]


def test_all_are_heard_at_the_question_of_a_part() -> None:
    outcomes = {words: heard_at("leaf.here", words) for words in ABOUT}
    assert outcomes == {words: (Outcome.HEARD, words) for words in ABOUT}
