"""Acceptors for the passes and for the faults of a question.

Exact for condition and yes/no questions: the grammar's network is partitioned by its tags, so no
phrase is omitted. Counts and choices are few enough to list.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from doorround.domain.checklist import Question
from doorround.domain.values import Command
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.automaton import automaton
from doorround.hearing.grammar.grammar_nfa import GrammarNfa
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.grammar.jsgf import Tag
from doorround.hearing.grammar.phrase_list import automaton_of, grammar_of_phrases
from doorround.hearing.grammar.polarity import value_polarity
from doorround.hearing.grammar.tag_values import value_of

MAX_PHRASES = 20_000
READ_BACK_TAGS = {"hedge", "partial"}


def passes(question: Question, grammar_set: GrammarSet) -> tuple[str, ...]:
    """Every phrase that would pass the question without confirmation.

    Phrases that the grammar marks for a read-back are omitted.
    """
    if question.kind in ("condition", "yes_no"):
        nfa = tagged(grammar_set.nfa(question.says), _passing(question))
        said = nfa.phrases(MAX_PHRASES)
    else:
        said = iter(_of_polarity(question, grammar_set, Polarity.PASS))
    return tuple(dict.fromkeys(phrase for phrase, tags in said if not READ_BACK_TAGS & set(tags)))


def faults(question: Question, grammar_set: GrammarSet) -> Automaton | None:
    """Acceptor of every phrase that names a fault at the question; None if there is none."""
    if question.kind in ("condition", "yes_no"):
        passing = _passing(question)
        nfa = grammar_set.nfa(question.says)
        return automaton(
            tagged(nfa, lambda tag: tag.startswith("defect=") or _turned(tag, passing))
        )
    listed = [phrase for phrase, _ in _of_polarity(question, grammar_set, Polarity.DEFECT)]
    return automaton_of(grammar_of_phrases(listed)) if listed else None


def choices(question: Question, grammar_set: GrammarSet) -> dict[str, tuple[str, ...]]:
    """Each choice → its phrases."""
    found: dict[str, list[str]] = {}
    for phrase, tags in grammar_set.phrases(question.says).items():
        chosen = next(tag.removeprefix("is=") for tag in tags if tag.startswith("is="))
        found.setdefault(chosen, []).append(phrase)
    return {chosen: tuple(phrases) for chosen, phrases in found.items()}


def read_back(grammar_set: GrammarSet) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The phrases for yes, and those for no, after a read-back."""
    said = grammar_set.phrases("yes_no.right").items()
    return tuple(p for p, tags in said if "yes" in tags), tuple(
        p for p, tags in said if "no" in tags
    )


def listed(phrases: Iterable[str]) -> Automaton:
    """An automaton that accepts these phrases."""
    return automaton_of(grammar_of_phrases(phrases))


def either(*parts: Automaton) -> Automaton:
    """Union of automata."""
    arcs: list[tuple[int, int, str]] = []
    finals: set[int] = set()
    count = 1
    for part in parts:
        arcs.append((0, count, ""))
        arcs += [(begin + count, end + count, word) for begin, end, word in part.arcs]
        finals.update(state + count for state in part.finals)
        count += part.states
    return Automaton(tuple(arcs), frozenset(finals))


def after(first: Automaton, second: Automaton) -> Automaton:
    """Concatenation of two automata."""
    shift = first.states
    arcs = [*first.arcs, *((begin + shift, end + shift, word) for begin, end, word in second.arcs)]
    arcs += [(state, shift, "") for state in first.finals]
    return Automaton(tuple(arcs), frozenset(state + shift for state in second.finals))


def tagged(nfa: GrammarNfa, wanted: Callable[[str], bool]) -> GrammarNfa:
    """The paths of a network that contain a wanted tag, without dead ends."""
    shift = len(nfa.arcs)
    arcs = [
        [
            (
                label,
                target + shift
                if met or (isinstance(label, Tag) and wanted(label.text))
                else target,
            )
            for label, target in leaving
        ]
        for met in (False, True)
        for leaving in nfa.arcs
    ]
    return _without_dead_ends(GrammarNfa(arcs, nfa.final + shift))


def _without_dead_ends(nfa: GrammarNfa) -> GrammarNfa:
    coming: dict[int, list[int]] = {}
    for begin, leaving in enumerate(nfa.arcs):
        for _, end in leaving:
            coming.setdefault(end, []).append(begin)
    useful = {nfa.final}
    waiting = [nfa.final]
    while waiting:
        for state in coming.get(waiting.pop(), ()):
            if state not in useful:
                useful.add(state)
                waiting.append(state)
    kept = [
        [(label, end) for label, end in leaving if end in useful] if begin in useful else []
        for begin, leaving in enumerate(nfa.arcs)
    ]
    return GrammarNfa(kept, nfa.final)


def _passing(question: Question) -> Callable[[str], bool]:
    passing = "sound" if question.kind == "condition" else question.sound
    return lambda tag: tag == passing


def _turned(tag: str, passing: Callable[[str], bool]) -> bool:
    return tag in ("yes", "no") and not passing(tag)


def _of_polarity(
    question: Question, grammar_set: GrammarSet, polarity: Polarity
) -> list[tuple[str, tuple[str, ...]]]:
    if question.kind != "count":
        return []
    values = {
        phrase: (tags, value_of(tags, question.unit))
        for phrase, tags in grammar_set.phrases(question.says).items()
    }
    return [
        (phrase, tags)
        for phrase, (tags, value) in values.items()
        if not isinstance(value, Command) and value_polarity(value, question) is polarity
    ]
