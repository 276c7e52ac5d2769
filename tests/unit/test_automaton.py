"""What an engine is given: the same words as the grammar, no more and no fewer."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.automata.composed_acceptor import Closure, Union
from doorround.hearing.engines.token_trie import TokenTrie, TrieNode
from doorround.hearing.grammar.automaton import automaton, automaton_of_jsgf
from doorround.hearing.grammar.jsgf import GrammarError
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.wiring import load_understanding

CHECKLIST = load_checklist()
HEADER = "#JSGF V1.0;\ngrammar g;\n"


def of(body):
    return automaton_of_jsgf(f"{HEADER}public <g> = {body};\n<two> = a b;\n")


@pytest.mark.parametrize(
    ("body", "said", "not_said"),
    [
        ("a | b c", ["a", "b c"], ["b", "c", "a b c", ""]),
        ("[a] b", ["b", "a b"], ["a", "b a"]),
        ("a+ b", ["a b", "a a a b"], ["b"]),
        ("a* b", ["b", "a b"], ["a"]),
        ("<two> [c]", ["a b", "a b c"], ["a", "c"]),
        ("(a | b) (a | c)", ["a a", "b c"], ["c a"]),
    ],
)
def test_it_accepts_what_the_grammar_says_and_nothing_else(body, said, not_said):
    for phrase in said:
        assert of(body).accepts(phrase.split()), phrase
    for phrase in not_said:
        assert not of(body).accepts(phrase.split()), phrase


def test_it_is_the_smallest():
    assert of("a b | a c | d b | d c").states == 3


def test_a_grammar_without_a_public_rule_is_refused():
    with pytest.raises(GrammarError, match="no public rule"):
        automaton_of_jsgf(f"{HEADER}<g> = a;")


def test_a_loop_may_follow_or_stand_alone_and_a_command_stays_alone():
    whole = Union([of("skip this")], of("fine"), Closure(of("hinges tight | closer slams")))
    for phrase in (
        "skip this",
        "fine",
        "hinges tight",
        "fine closer slams",
        "closer slams hinges tight",
    ):
        assert whole.accepts(phrase.split()), phrase
    for phrase in ("skip this fine", "hinges tight fine", "fine fine", "hinges"):
        assert not whole.accepts(phrase.split()), phrase


def test_what_is_joined_says_the_same_written_out():
    now = ExpectedInput(
        Stage.ASKING, CHECKLIST.question[3], CHECKLIST.question[4:], parts=CHECKLIST.question
    )
    joined = load_understanding().utterances.joined(now)
    whole = joined.expanded
    assert (
        whole.states == max(whole.finals | {end for _, end, _ in whole.arcs}) + 1
        and whole.joint == joined.joint
    )
    for state in range(whole.states):
        assert {word: set(ends) for word, ends in joined.after(state).items()} == {
            word: set(ends) for word, ends in whole.after(state).items()
        }
        assert joined.ends(state) is whole.ends(state)


def test_what_was_worked_out_for_one_question_is_not_copied_for_the_next():
    """Copying the 20,000 arcs that are the same at every question took a tenth of a second of every
    turn.
    """
    understanding = load_understanding()
    loops = [
        understanding.utterances.joined(
            ExpectedInput(Stage.ASKING, question, parts=CHECKLIST.question)
        ).loop
        for question in CHECKLIST.question[:2]
    ]
    assert loops[0] is loops[1] and len(loops[0].answers.arcs) > 10_000


words = st.sampled_from(["a", "b", "c"])
bodies = st.recursive(
    words,
    lambda inner: st.one_of(
        st.tuples(inner, inner).map(lambda pair: f"({pair[0]} | {pair[1]})"),
        st.tuples(inner, inner).map(" ".join),
        inner.map(lambda one: f"[{one}]"),
        inner.map(lambda one: f"({one})+"),
    ),
    max_leaves=8,
)


@settings(deadline=None)  # a busy machine may take its time
@given(bodies, st.lists(words, min_size=1, max_size=6))
def test_the_smallest_automaton_and_the_network_agree(body, said):
    nfa = load_understanding().grammar_set.network_of(body)
    matched = any(match.end == len(said) for match in nfa.matches([[(word, 0)] for word in said]))
    assert automaton(nfa).accepts(said) is matched


@pytest.mark.parametrize("question", CHECKLIST.question, ids=lambda question: question.key)
def test_every_button_may_be_said_at_its_question(question):
    others = tuple(other for other in CHECKLIST.question if other is not question)
    now = ExpectedInput(Stage.ASKING, question, others, parts=CHECKLIST.question)
    whole = load_understanding().utterances.joined(now)
    for tap in question.taps:
        assert whole.accepts(split_words(tap)), tap
    assert whole.accepts(("skip", "this"))
    assert whole.accepts(("closer", "slams"))


def test_what_was_opened_of_a_loop_at_one_question_is_open_at_the_next():
    loop = Closure(of("hinges tight | closer slams"))
    opened = TrieNode()
    spelled = {
        word: (number,)
        for number, word in enumerate(("fine", "good", "hinges", "tight", "closer", "slams"))
    }

    def to_the_end(question):
        paths = TokenTrie(Union([], of(question), loop), lambda word, _: spelled[word], opened)
        place = paths.after(paths.start)[spelled[question][0]]
        for word in ("hinges", "tight", "closer", "slams"):
            place = paths.after(place)[spelled[word][0]]
        return paths.ends(place), len(opened.steps)

    (one_ends, first) = to_the_end("fine")
    (other_ends, second) = to_the_end("good")
    assert one_ends and other_ends
    assert first == second > 0
