"""The phrases accepted at each question, and their meanings: the table phrases.toml, compared with
the grammar in both directions.
"""

from __future__ import annotations

import pytest
from phrase_table import TABLE, rows, used, written
from visits import (
    BOOK,
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    FLAT,
    FLATS,
    HELD_OPEN,
    LATCHED_PAIR,
    NFPA,
    UNDERSTANDING,
    ask,
    at,
    understood,
)

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.checklist import Question
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.grammar.utterance_grammar import bare, named
from doorround.hearing.lexicon.tokeniser import split_words

QUESTIONS = CHECKLIST.question
CLOCK = ("stopwatch.let_go", "stopwatch.shut")


def everything() -> ExpectedInput:
    """All questions of two doors at once, none of them open: each must be named."""
    asked = {
        question.key: question
        for door, checklist in (
            (HELD_OPEN, CHECKLIST),
            (CUPBOARD, CHECKLIST),
            (LATCHED_PAIR, CHECKLIST),
            (FLAT, FLATS),
            (CORRIDOR, NFPA),
        )
        for question in checklist.for_door(door)
    }
    return ExpectedInput(Stage.ASKING, None, tuple(q for q in QUESTIONS if q.key in asked))


@pytest.mark.parametrize("key", [question.key for question in QUESTIONS])
def test_each_phrase_of_the_table_means_what_stands_beside_it(key: str) -> None:
    now = at(key)
    wrong = [
        (phrase, meaning, heard)
        for _, meaning, phrase in rows(key)
        if (heard := understood(phrase, now)) != [(key, meaning)]
    ]
    assert wrong == []


def told_of(meaning: str) -> list[tuple[str, ...]]:
    """ "leaf.here: sound + leaf.here_second: sound" as answers."""
    return [tuple(each.split(": ", 1)) for each in meaning.split(" + ")]


def test_a_part_may_be_named_before_its_question_comes() -> None:
    now = everything()
    wrong = [
        (phrase, meaning, heard)
        for _, meaning, phrase in rows("named")
        if (heard := understood(phrase, now)) != told_of(meaning)
    ]
    assert wrong == []


@pytest.mark.parametrize("key", ["clear", "hinges.count", "gaps.sides", "mark", "register.use"])
def test_the_commands_work_at_every_kind_of_question(key: str) -> None:
    now = at(key)
    wrong = [
        phrase
        for _, meaning, phrase in rows("commands")
        if understood(phrase, now) != [(None, meaning)]
    ]
    assert wrong == []


def test_a_read_back_is_answered_by_yes_and_no_in_their_own_words() -> None:
    now = ExpectedInput(Stage.CONFIRMING, yes_no=True)
    wrong = [
        phrase
        for _, meaning, phrase in rows("read back")
        if understood(phrase, now) != [(None, meaning)]
    ]
    assert wrong == []


def test_the_clock_is_begun_and_ended_where_a_closing_time_may_be_taken_and_nowhere_else() -> None:
    ready, running = (
        ExpectedInput(Stage.ASKING, ask("closer.full"), watch=each) for each in ("ready", "running")
    )
    for _, meaning, phrase in rows("the clock"):
        assert understood(phrase, running) == [(None, meaning)], phrase
        assert (understood(phrase, ready) == [(None, meaning)]) == (meaning == "do letting go"), (
            phrase
        )
        assert understood(phrase, at("closer.full")) is None, phrase


def test_every_written_word_of_the_grammar_has_an_example_in_the_table() -> None:
    networks = {
        name: BOOK.nfa(name) for name in ("always.words", "yes_no.right", "filler.link", *CLOCK)
    }
    networks |= {
        question.key: UNDERSTANDING.utterances.nfa(bare(question)) for question in QUESTIONS
    }
    networks |= {f"named {q.key}": UNDERSTANDING.utterances.nfa(named(q)) for q in QUESTIONS}
    wanted: dict[int, str] = {}
    for name, nfa in networks.items():
        if not name.startswith("named register"):
            # "the" before any part's name: test_interpretation.py
            words = written(nfa).items()
            wanted |= {
                identity: word
                for identity, word in words
                if word != "the" or not name.startswith("named")
            }
    seen: set[int] = set()
    for table, meaning, phrase in rows(*TABLE):
        spoken = split_words(phrase)
        for name in _networks_of(table, meaning):
            seen |= used(networks[name], spoken)
    assert sorted(word for identity, word in wanted.items() if identity not in seen) == []


def _networks_of(table: str, meaning: str) -> tuple[str, ...]:
    if table in ("which door", "asked"):  # see test_door_names.py, test_query_handler.py
        return ()
    if table == "commands":
        return ("always.words",)
    if table == "the clock":
        return CLOCK
    if table == "read back":
        return ("yes_no.right",)
    if table == "named":
        question = ask(meaning.split(": ", 1)[0])
        return (f"named {question.key}", question.key)
    return (table,)


def test_the_table_holds_more_than_a_thousand_phrases() -> None:
    assert len({phrase for _, _, phrase in rows(*TABLE)}) > 700
    assert len(rows(*TABLE)) > 1000


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.key)
def test_each_button_and_example_answers_its_own_question(question: Question) -> None:
    examples = [part for part in question.example.replace("or:", "").split(", ") if part]
    for phrase in (*question.taps, *examples):
        said = understood(phrase, at(question.key))
        assert said is not None and [key for key, _ in said] == [question.key], phrase


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.key)
def test_each_usual_phrase_has_a_meaning_of_its_questions_kind(question: Question) -> None:
    wanted = {"measure": {"measure", "not_measured"}}.get(question.kind, {question.kind})
    kinds = {value_of(tags, question.unit).kind for tags in BOOK.usual(question.says).values()}
    assert kinds <= wanted and kinds


NEGATED_PASSES = [
    ("frame.here", "not damaged"),
    ("leaf.here", "not damaged"),
    ("frame.here", "no cracks"),
    ("glass.here", "no cracks"),
    ("frame.here", "isn't loose"),
    ("latch", "isn't loose"),
    ("hinges.fixings", "not loose"),
    ("hinges.fixings", "no screws missing"),
    ("seals", "not painted"),
    ("seals", "isn't painted"),
    ("seals", "aren't painted over"),
    ("seals", "no paint"),
    ("clear", "not wedged"),
    ("clear", "no wedge"),
    ("clear", "unobstructed"),
    ("clear", "not obstructed"),
    ("glass.here", "unbroken"),
    ("glass.here", "firm and unbroken"),
    ("seals", "never painted"),
    *(
        (key, "undamaged")
        for key in ("frame.here", "leaf.here", "glass.here", "seals", "sign.here")
    ),
    *(
        (key, "nothing wrong")
        for key in ("clear", "frame.here", "latch", "seals", "hinges.fixings", "closer.full")
    ),
    *(
        (key, "nothing loose")
        for key in ("frame.here", "glass.here", "latch", "seals", "hinges.fixings")
    ),
    *((key, "nothing missing") for key in ("seals", "hinges.fixings")),
    ("seals", "unpainted"),
    ("leaf.here", "no holes"),
]
NEGATED_FAULTS = [
    ("closer.full", "not closing", "not_closing"),
    ("closer.ajar", "not fully closed", "stops_short"),
    ("closer.full", "won't latch", "stops_short"),
    ("closer.full", "doesn't close fully", "stops_short"),
    ("closer.full", "no closer", "missing"),
    ("latch", "won't latch", "not_latching"),
    ("seals", "no seals", "missing"),
    ("seals", "not complete", "part_missing"),
    ("hinges.fixings", "not tight", "screw_loose"),
    ("hinges.fixings", "no mark", "unmarked"),
    ("frame.here", "not firm", "loose"),
    ("glass.here", "isn't firm", "loose"),
    ("sign.here", "no sign", "missing"),
    ("sign.here", "not there", "missing"),
    ("sign.here", "not readable", "unreadable"),
    ("hold_open", "won't let go", "not_releasing"),
    ("threshold", "does not touch the floor", "not_dropping"),
]


@pytest.mark.parametrize(("key", "phrase"), NEGATED_PASSES)
def test_a_fault_denied_is_a_pass(key: str, phrase: str) -> None:
    assert understood(phrase, at(key)) == [(key, "sound")]


@pytest.mark.parametrize(("key", "phrase", "fault"), NEGATED_FAULTS)
def test_a_pass_denied_is_a_fault(key: str, phrase: str, fault: str) -> None:
    assert understood(phrase, at(key)) == [(key, fault)]
