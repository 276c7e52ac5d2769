"""Search for the answers in an utterance: paths through its words, cheapest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from doorround.dialogue.expected_input import ExpectedInput, twins
from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Condition, Measure, Value
from doorround.hearing.grammar.grammar_nfa import Match
from doorround.hearing.grammar.grammar_set import FAULTS, GrammarSet
from doorround.hearing.grammar.negation import (
    NegationScope,
    behind_filler,
    behind_sign,
    denied,
    denied_faults,
)
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.grammar.utterance_grammar import (
    TOGETHER,
    Utterances,
    bare,
    named,
    naming,
)
from doorround.hearing.lexicon.tokeniser import Readings
from doorround.hearing.session.answer_merging import merged
from doorround.hearing.session.disambiguation import (
    first_of_each_part,
    goes_without_name,
    named_parts,
    parts_denied,
    says_which,
    sides,
    which_of,
)
from doorround.hearing.session.original_spelling import Spelled, shared_out, words_of
from doorround.hearing.session.parse_path import ParsePath, hedged_behind
from doorround.hearing.session.taken_answer import as_value, with_answer


@dataclass(frozen=True)
class Interpretation:
    """repairs: number of letters corrected in typed words."""

    said: tuple[Said, ...]
    repairs: int


class AnswerSearch:
    """Finds the answers in an utterance. Holds no state of any talk."""

    def __init__(self, grammar_set: GrammarSet, utterances: Utterances) -> None:
        self.grammar_set = grammar_set
        self.utterances = utterances

    def best_path(
        self, text: Spelled, expected: ExpectedInput, written: bool
    ) -> Interpretation | None:
        """The parse with the lowest `ParsePath.cost`, so with the fewest repairs; None if none."""
        best: ParsePath | None = None
        tokens = text.tokens
        waiting = [ParsePath(carried=expected.spoken)]
        seen: set[tuple[int, str | None, bool, NegationScope, tuple[str | None, ...]]] = set()
        while waiting:
            waiting.sort(
                key=lambda path: (path.repairs, len(path.said) + path.fillers, -path.place),
                reverse=True,
            )
            path = waiting.pop()
            state = (
                path.place,
                path.carried,
                path.hedged,
                path.reach,
                tuple(said.question for said in path.said),
            )
            if state in seen:
                continue
            seen.add(state)
            if path.place == len(tokens):
                if path.said and (best is None or path.cost < best.cost):
                    best = hedged_behind(path)
                continue
            if best is None or path.cost < best.cost:
                path = replace(path, reach=behind_sign(path.reach, text.sign_before(path.place)))
                waiting += self._steps(tokens, path, expected)
                waiting += self._denials(text, path, expected) if written else ()
        return (
            Interpretation(merged(shared_out(best.said, best.ends, text)), best.repairs)
            if best
            else None
        )

    def _steps(
        self, tokens: Readings, path: ParsePath, expected: ExpectedInput
    ) -> Iterator[ParsePath]:
        for rule in ("filler.hedge", "filler.noise"):
            hedged = path.hedged or rule == "filler.hedge"
            for match in self.grammar_set.nfa(rule).matches(tokens, path.place):
                reach = behind_filler(path.reach, words_of(tokens, path.place, match.end))
                more = replace(
                    path,
                    place=match.end,
                    repairs=path.repairs + match.repairs,
                    hedged=hedged,
                    reach=reach,
                )
                yield replace(more, fillers=path.fillers + 1)
        done = {said.question for said in path.said}
        expected = expected.facing(said.question for said in path.said)
        yield from self._shared(tokens, path, done, expected)
        for question in first_of_each_part(expected, done):
            for match in self._fits(tokens, path, question, done, expected):
                if targets := sides(question, match.tags, expected):
                    taken = with_answer(tokens, path, question, match, targets)
                    yield replace(taken, ahead=path.ahead + expected.asked.index(question))

    def _denials(
        self, text: Spelled, path: ParsePath, expected: ExpectedInput
    ) -> Iterator[ParsePath]:
        """Typed denials such as "no splits or rot" of the open question's faults; other faults may
        exist.
        """
        question = expected.open
        before = [as_value(said.value) for said in path.said]
        if (
            not question
            or question.kind != "condition"
            or question.works
            or not all(map(_sound, before))
        ):
            return
        # "no, loose" may be a denial or a fault
        if text.sign_before(path.place + 1) or {said.question for said in path.said} - {
            question.key
        }:
            return
        for match in denied_faults(
            text.tokens, path.place, self.utterances.nfa(f"<{question.says}{FAULTS}>")
        ):
            taken = with_answer(text.tokens, path, question, match, (question,))
            yield replace(taken, fillers=path.fillers + 1)  # "no damage" has its own meaning

    def _shared(
        self, tokens: Readings, path: ParsePath, done: set[str | None], expected: ExpectedInput
    ) -> Iterator[ParsePath]:
        """ "Frame and leaf fine": one answer for two or more parts, if each of them accepts it."""
        for names in self.utterances.nfa(TOGETHER).matches(tokens, path.place):
            questions = self._named_together(names, done, expected)
            if not questions:
                continue
            start = replace(path, place=names.end, repairs=path.repairs + names.repairs)
            found = [
                {match.end: match for match in self._plain(tokens, names.end, each)}
                for each in questions
            ]
            for end in set(found[0]).intersection(*found):
                taken = start
                for question, matches in zip(questions, found, strict=True):
                    again = replace(taken, place=names.end)
                    taken = with_answer(tokens, again, question, matches[end], (question,))
                yield replace(
                    taken, repairs=start.repairs + found[0][end].repairs, fillers=path.fillers
                )

    def _named_together(
        self, names: Match, done: set[str | None], expected: ExpectedInput
    ) -> list[Question]:
        """The question of each named part, for a pair also of each leaf. Empty if a part is named
        twice or has no question that may be answered.
        """
        firsts = [each for each in first_of_each_part(expected, done) if each.kind == "condition"]
        found: list[Question] = []
        for part, leaf in named_parts(names.tags):
            targets = (sides(each, leaf, expected) for each in firsts if each.component == part)
            asked = next((each for each in targets if each), ())
            free = [e for e in asked if e.key not in done and not self._twin(e, done, expected)]
            if not asked or len(free) < len(asked):
                return []
            found += free
        return found if len({each.key for each in found}) == len(found) else []

    def _plain(self, tokens: Readings, start: int, question: Question) -> Iterator[Match]:
        """Answers to the question itself, sound or a fault, that name no face, part or twin."""
        for match in self.utterances.nfa(bare(question)).matches(tokens, start):
            if not any(tag.startswith(("face=", "which=", "component=")) for tag in match.tags):
                yield match

    @staticmethod
    def _twin(question: Question, done: set[str | None], expected: ExpectedInput) -> bool:
        """Whether the question's twin was answered in this utterance; the words must then say which
        one is meant.
        """
        if any(twins(question, other) for other in expected.before):
            return True
        return any(twins(question, other) for other in expected.asked if other.key in done)

    def _fits(
        self,
        tokens: Readings,
        path: ParsePath,
        question: Question,
        done: set[str | None],
        expected: ExpectedInput,
    ) -> Iterator[Match]:
        """Matches of one question at this place, with or without its part's name."""
        before = [as_value(said.value) for said in path.said if said.question == question.key]
        twin = self._twin(question, done, expected)
        if question.component != "register" and not before:
            for match in self.utterances.nfa(named(question)).matches(tokens, path.place):
                if (not twin or says_which(question, match)) and not (
                    path.reach is NegationScope.WORD and _fault(match)
                ):
                    yield match
        open_now = (
            expected.open is not None
            and question.key == expected.open.key
            and not (done - {question.key})
        )
        for match in self._unnamed(tokens, path.place, question):
            words = words_of(tokens, path.place, match.end)
            absent = parts_denied(match.tags)
            if (absent and question.component not in absent) or _denied(match, path.reach, words):
                continue
            about_it = open_now or (
                path.carried == question.component
                and goes_without_name(question, words, done, expected)
            )
            if (before and not _goes_on(before, match)) or (
                twin and not before and not says_which(question, match)
            ):
                continue
            if about_it or _names(question, match, expected):
                yield match

    def _unnamed(self, tokens: Readings, start: int, question: Question) -> Iterator[Match]:
        """Matches without the part's name before them. An answer that identifies its part by itself
        ("it's wedged open") is included even if the same words are also an answer that does not.
        """
        yield from self.utterances.nfa(bare(question)).matches(tokens, start)
        if self.grammar_set.names_itself(question.says):
            yield from self.utterances.nfa(naming(question)).matches(tokens, start)


def _goes_on(before: list[Value], match: Match) -> bool:
    """Whether a match can be added to earlier answers to the same question: a fault to anything, a
    pass only to a pass, a gap at one place to a gap at another.
    """
    if _fault(match):
        return True
    if isinstance(before[0], Measure) and which_of(match.tags):
        return isinstance(value_of(match.tags, "mm"), Measure)
    return "sound" in match.tags and all(
        isinstance(value, Condition) and value.sound for value in before
    )


def _names(question: Question, match: Match, expected: ExpectedInput) -> bool:
    """Whether the words identify the part by themselves. At a register question, "no letter plate"
    answers that question.
    """
    of_door = expected.open is not None and expected.open.component == "register"
    denied_part = bool(parts_denied(match.tags)) and not of_door
    return denied_part or f"component={question.component}" in match.tags


def _denied(match: Match, reach: NegationScope, words: tuple[str, ...]) -> bool:
    """Whether it is a fault within the scope of a preceding "no"."""
    names = any(tag.startswith("component=") for tag in match.tags)
    return _fault(match) and denied(reach, words, names)


def _fault(match: Match) -> bool:
    return any(tag.startswith("defect=") for tag in match.tags)


def _sound(value: Value) -> bool:
    return isinstance(value, Condition) and value.sound
