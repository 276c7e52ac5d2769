"""What a "no" reaches: a fault that is denied is never entered, and no fault is put to a part that
nobody named.
"""

from __future__ import annotations

import random

import pytest
from phrase_table import CARETAKERS, rows
from visits import BOOK, CHECKLIST, UNDERSTANDING, Visit, understood, visit_at

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.input_result import Heard, OffGrammar
from doorround.domain.values import Command, Condition
from doorround.hearing.grammar.negation import denies
from doorround.hearing.session.interpretation import typed
from tests.whole import some_of

CONDITIONS = [question for question in CHECKLIST.question if question.kind == "condition"]
NEGATIONS = ("no", "not", "isn't", "never", "without", "aren't", "none", "nothing", "no,")
AWAY = 3
"""Other questions at which each denied fault is tried, beside its own."""


def everywhere(key: str) -> ExpectedInput:
    """This question open, the one before it just answered, all others waiting."""
    keys = [question.key for question in CHECKLIST.question]
    place = keys.index(key)
    others = tuple(question for question in CHECKLIST.question if question.key != key)
    last = CHECKLIST.question[place - 1 : place]
    return ExpectedInput(
        Stage.ASKING, CHECKLIST.ask(key), others, last=last, parts=CHECKLIST.question
    )


def at_read_back(key: str) -> ExpectedInput:
    return ExpectedInput(Stage.CONFIRMING, last=(CHECKLIST.ask(key),), yes_no=True)


def faults(says: str) -> dict[str, set[str]]:
    """Every plain way to name a fault of a rule, and the names of those faults."""
    return {
        phrase: {tag.removeprefix("defect=") for tag in tags if tag.startswith("defect=")}
        for phrase, tags in BOOK.usual(says).items()
        if any(tag.startswith("defect=") for tag in tags)
        and "made_good" not in tags
        and not denies(phrase.split())
    }


SAID = {question.says: faults(question.says) for question in CONDITIONS}


def entered(text: str, now: ExpectedInput) -> list[tuple[str | None, str]]:
    """The faults that a text names, by their question; read back or not."""
    heard = typed(UNDERSTANDING, text, now)
    guesses = (
        (heard,)
        if isinstance(heard, Heard)
        else ()
        if isinstance(heard, OffGrammar)
        else heard.guesses
    )
    return [
        (said.question, defect.name)
        for guess in guesses
        for said in guess.said
        if isinstance(said.value, Condition)
        for defect in said.value.defects
    ]


def known_otherwise(text: str, says: str) -> bool:
    """Whether the grammar itself has the denial as a fault: "not right", "no mark", "not there"."""
    return any("defect=" in tag for tag in BOOK.phrases(says).get(text, ()))


@pytest.mark.parametrize("question", CONDITIONS, ids=lambda question: question.key)
def test_a_denied_fault_never_comes_out_at_its_own_question_nor_at_a_read_back(question):
    wrong = []
    for nth, (phrase, names) in enumerate(SAID[question.says].items()):
        # a part tries three of the nine with each phrase, by turns
        for negation in some_of(NEGATIONS, 3, nth):
            text = f"{negation} {phrase}"
            for now in (everywhere(question.key), at_read_back(question.key)):
                # "no, split" to "Frame: sound. Right?", or of the first leaf, answered just before;
                # "no, glass seal gone" of the glass, which came before the panels beside the door
                before = question.key.endswith("_second") or question.key == "screens"
                corrects = now.yes_no or before
                comma = negation.endswith(",") and corrects
                found = {name for _, name in entered(text, now)}
                if found & names and not comma and not known_otherwise(text, question.says):
                    wrong.append((text, now.yes_no, found))
    assert len(SAID[question.says]) > 3
    assert wrong == []


@pytest.mark.parametrize("says", sorted(SAID))
def test_a_denied_fault_never_comes_out_at_any_other_question(says):
    draw = random.Random(says)
    wrong = []
    for phrase, names in SAID[says].items():
        for question in draw.sample(
            [each for each in CHECKLIST.question if each.says != says], AWAY
        ):
            text = f"{draw.choice(NEGATIONS[:-1])} {phrase}"
            found = {name for _, name in entered(text, everywhere(question.key))}
            if found & names and not known_otherwise(text, question.says):
                wrong.append((question.key, text, found))
    assert wrong == []


def test_a_denied_command_is_never_obeyed():
    now = everywhere("clear")
    wrong = []
    for phrase in BOOK.phrases("always.words"):
        for negation in ("not", "never", "don't"):
            heard = UNDERSTANDING.words(f"{negation} {phrase}", now, written=True)
            wrong += [phrase] if heard and isinstance(heard.said[0].value, Command) else []
    assert wrong == []


@pytest.mark.parametrize(
    ("before", "here", "words"),
    [
        ("frame.here", "leaf.here", "no splits"),
        ("leaf.here", "glass.here", "no hole"),
        ("closer.full", "closer.ajar", "no slamming"),
        ("frame.here", "leaf.here", "no, split"),
        ("frame.here", "leaf.here", "sorry, loose"),
        ("sign.here", "frame.here", "no, that's wrong"),
    ],
)
def test_no_and_a_fault_is_not_put_to_the_part_before(before, here, words):
    visit = visit_at(here)
    visit.type(words)
    assert visit.check.findings.get(before, ()) == ()
    assert visit.meaning(before) == "sound"


@pytest.mark.parametrize(
    ("here", "words"),
    [("leaf.here", "no splits"), ("frame.here", "no rot"), ("leaf.here", "not warped or dented")],
)
def test_a_fault_denied_at_its_question_is_read_back_as_the_whole_part(here, words):
    visit = visit_at(here)
    assert visit.type(words)[0].endswith(f"{words}, and nothing else wrong. Right?")
    assert visit.meaning(here) is None


@pytest.mark.parametrize(
    ("here", "words"),
    [
        ("seals", "no seals painted"),
        ("seals", "no seals are painted"),
        ("seals", "none are painted"),
        ("latch", "no handle loose"),
        ("leaf.here", "no holes, dents or cracks"),
        ("leaf.here", "no holes and splits"),
        ("leaf.here", "no damage splits"),
        ("hinges.count", "none loose"),
    ],
)
def test_what_a_denial_may_reach_is_no_answer(here, words):
    assert isinstance(typed(UNDERSTANDING, words, everywhere(here)), OffGrammar)


@pytest.mark.parametrize(
    ("here", "words", "means"),
    [
        ("frame.here", "no cracks but it's loose", "loose"),
        ("leaf.here", "no damage, hole by the handle", "hole, by the handle"),
        ("leaf.here", "no cracks, a hole by the handle", "hole, by the handle"),
        ("frame.here", "no cracks. loose at the top", "loose, top"),
        ("closer.full", "won't latch and slams", "stops_short; slams"),
        ("latch", "won't latch, handle loose", "not_latching; loose"),
        ("hinges.fixings", "no mark, two screws missing", "unmarked; 2 screw_missing"),
        ("seals", "never painted, one bit missing", "part_missing"),
    ],
)
def test_a_fault_in_a_clause_of_its_own_counts_whatever_was_denied_before(here, words, means):
    visit = visit_at(here)
    visit.type(words)
    assert visit.meaning(here) == means


@pytest.mark.parametrize("word", ["nocracks", "nodamage", "nowedges", "noscrews"])
def test_a_no_run_into_its_word_is_not_taken_off_as_a_slip(word):
    assert all(entered(word, everywhere(question.key)) == [] for question in CONDITIONS)


def test_no_and_a_fault_at_a_read_back_is_a_no():
    visit = visit_at("frame.here")
    visit.type("I think it's fine")
    said = visit.type("no splits")
    assert said[0].startswith("Not that, then.") and visit.meaning("frame.here") is None
    visit = visit_at("frame.here")
    visit.type("I think it's fine", "no, split")
    assert visit.meaning("frame.here") == "split"


def test_a_part_named_behind_no_and_a_comma_is_corrected():
    visit = visit_at("leaf.here")
    visit.type("no, frame split")
    assert visit.meaning("frame.here") == "split"


def test_what_a_door_is_denied_without_a_comma_is_read_back():
    now = ExpectedInput(
        Stage.ASKING, CHECKLIST.ask("register.glazing"), last=(CHECKLIST.ask("register.material"),)
    )
    for words, doubt in (("no steel", True), ("no, steel", False)):
        found = UNDERSTANDING.words(words, now, written=True)
        assert found is not None and found.said[0].hedged is doubt


# ---- Words as typed


@pytest.mark.parametrize(
    ("here", "words"),
    [
        ("register.material", "Wood, i think"),
        ("leaf.here", "No splits!"),
        ("clear", "Er, it’s wedged open"),
        ("hinges.fixings", "all thight"),
        ("gaps.sides", "about 3½ mm"),
        ("closer.ajar", "no, closes fully"),
    ],
)
def test_the_logbook_holds_the_words_as_they_were_typed(here, words):
    visit = visit_at(here)
    visit.type(words)
    if visit.check.stage is Stage.CONFIRMING:
        visit.type("yes")
    answered = [entry for entry in visit.entered if entry.kind == "answered"]
    assert answered[-1].body["heard"] == words


def test_several_answers_share_the_words_out_and_lose_none():
    visit = Visit()
    visit.type("All clear - and, er, frame's SPLIT top left I think")
    visit.type("yes")
    answered = [entry.body["heard"] for entry in visit.entered if entry.kind == "answered"]
    assert answered == ["All clear", "- and, er, frame's SPLIT top left I think"]


# ---- Numbers and parts that nobody asked about


def test_half_of_an_answer_is_read_back():
    for here, words in (
        ("clear", "clear on this side"),
        ("glass.here", "beading fine"),
        ("latch", "firm"),
    ):
        visit = visit_at(here)
        visit.type(words)
        assert visit.meaning(here) is None, words


@pytest.mark.parametrize(
    ("here", "words", "means"),
    [
        ("seals", "all there none painted", [("seals", "sound")]),
        ("hinges.fixings", "hinges loose, top one", [("hinges.fixings", "loose, top hinge")]),
        ("hinges.count", "hinges loose, top one", [("hinges.fixings", "loose, top hinge")]),
        ("register.leaves", "double leaf", [("register.leaves", "is pair")]),
        ("register.glazing", "solid door", [("register.glazing", "is none")]),
        ("glass.here", "beading is loose", [("glass.here", "bead_loose")]),
        ("register.width", "nine two six", None),
        ("register.height", "twenty forty", None),
        ("register.use", "flat 12", None),
        ("register.seals", "double leaf", None),
        ("register.seals", "brush and none", None),
        ("register.seals_in", "door edge and none", None),
        (
            "hinges.fixings",
            "no stamp on the middle one",
            [("hinges.fixings", "unmarked, middle hinge")],
        ),
    ],
)
def test_no_word_goes_to_a_question_that_it_does_not_mean(here, words, means):
    assert understood(words, everywhere(here)) == means


def test_a_fault_that_is_told_with_not_denies_no_fault_of_a_part_that_is_named_behind_it():
    words = "doesn't latch screw missing from the top hinge"
    assert understood(words, everywhere("closer.ajar")) == [
        ("closer.ajar", "stops_short"),
        ("hinges.fixings", "screw_missing, top hinge"),
    ]


def test_the_tables_of_phrases_hold_what_is_denied_too():
    assert any(denies(phrase.split()) for _, _, phrase in rows()) and CARETAKERS
