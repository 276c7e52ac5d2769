"""From words to answers: the same for what a recogniser heard, what was typed, and what was tapped.

An utterance is a run of answers, each to the open question or to a part that it names; the part spoken of is carried
on ("hinges … three … all tight"). Every word must find its place: a word that fits nowhere makes the whole utterance
off grammar, so that no "not" is ever lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from doorround.dialogue.expected_input import Listening, twins
from doorround.domain.checklist import Question
from doorround.domain.input_result import By, Heard, OffGrammar, Said, Unsure
from doorround.domain.values import Command, Condition, Measure, Value, Word
from doorround.hearing.grammar.active_grammar import Allowed, Polarity
from doorround.hearing.grammar.grammar_nfa import Match
from doorround.hearing.grammar.grammar_set import FAULTS, GrammarBook, value_of
from doorround.hearing.grammar.negation import Reach, behind_filler, behind_sign, denied, denied_faults, reach_of
from doorround.hearing.grammar.polarity import polarity_of
from doorround.hearing.grammar.utterance_grammar import PART_ALONE, TOGETHER, WATCH, Utterances, bare, named, naming
from doorround.hearing.lexicon.tokeniser import Readings, readings, split_words
from doorround.hearing.session.answer_merging import merged
from doorround.hearing.session.corrections import corrected
from doorround.hearing.session.disambiguation import (
    FACES,
    first_of_each_part,
    goes_without_name,
    of_one_face,
    says_which,
    sides,
    which_of,
)
from doorround.hearing.session.late_fault_parser import told_later
from doorround.hearing.session.original_spelling import Spelled, as_it_came, shared_out, words_of
from doorround.hearing.session.parse_path import _hedged_behind, _Path

MOST_WORDS = 120  # about one door in one breath; more is refused rather than searched for minutes
TOO_LONG = "That is too much at once. Say it in shorter pieces, or begin with “note”."
_AFTER_NOTE = re.compile(r"^\W*note\W*", re.I)


@dataclass(frozen=True)
class Understood:
    """repairs: letters that had to be mended to make sense of typed words."""

    said: tuple[Said, ...]
    repairs: int


class Understanding:
    """Reads utterances with one grammar book. Holds compiled networks, nothing of any talk."""

    def __init__(self, book: GrammarBook) -> None:
        self.book, self.utterances = book, Utterances(book)
        self.kept: dict[tuple[object, ...], Allowed] = {}
        self.usual: dict[tuple[object, ...], tuple[str, ...]] = {}

    def words(self, text: str, now: Listening, written: bool = False) -> Understood | None:
        """What a text means now; None when it is nothing here. written: it was typed, so that it may deny more than an
        engine listens for, "no splits or rot"."""
        spelled = split_words(text)
        if not spelled:
            return None
        if spelled[0] == "note" and len(spelled) > 1:
            noted = _AFTER_NOTE.sub("", text.strip())
            return Understood((Said(question=None, means=Command(word=Word.NOTE, text=noted), phrase=text),), 0)
        if len(spelled) > MOST_WORDS:
            return None
        tokens = [readings(word, self.book.vocabulary) for word in spelled]
        if not all(tokens):
            return None
        spelling = Spelled(text, tokens)
        understood = self._whole(tokens, now) or self._answers(spelling, now, written)
        if understood is None and (found := corrected(spelling, now, self.utterances)):
            understood = Understood((found[0],), found[1])
        if understood is None and (later := told_later(tokens, now, self.utterances)):
            understood = Understood(*later)
        return replace(understood, said=as_it_came(understood.said, text)) if understood else None

    def part_named(self, text: str, now: Listening) -> Question | None:
        """The question that the next words are about, where a part is named and no more: "other side frame"."""
        tokens = [((word, 0),) for word in split_words(text)]
        for match in self._ends(self.utterances.network(PART_ALONE).matches(tokens), tokens):
            for question in now.asked:
                if f"component={question.component}" in match.tags and question.component != "register":
                    if any(twins(question, other) for other in now.before) and not says_which(question, match):
                        continue
                    if targets := sides(question, match.tags, now):
                        return targets[0]
        return None

    def _whole(self, tokens: Readings, now: Listening) -> Understood | None:
        """A command, or yes and no to a read-back: these stand alone."""
        if now.yes_no:
            for match in self._ends(self.book.network("yes_no.right").matches(tokens), tokens):
                word = Word.YES if "yes" in match.tags else Word.NO
                return Understood((_command(Command(word=word), tokens),), match.repairs)
        for rule in ("always.words", *WATCH.get(now.watch, ())):
            for match in self._ends(self.book.network(rule).matches(tokens), tokens):
                means = value_of(match.tags)
                if isinstance(means, Command):
                    return Understood((_command(means, tokens),), match.repairs)
        return None

    @staticmethod
    def _ends(matches: Iterable[Match], tokens: Readings) -> Iterator[Match]:
        return (match for match in matches if match.end == len(tokens))

    def _answers(self, text: Spelled, now: Listening, written: bool) -> Understood | None:
        best: _Path | None = None
        tokens = text.tokens
        waiting = [_Path(carried=now.spoken)]
        seen: set[tuple[int, str | None, bool, Reach, tuple[str | None, ...]]] = set()
        while waiting:
            waiting.sort(key=lambda path: (path.repairs, len(path.said) + path.fillers, -path.place), reverse=True)
            path = waiting.pop()
            state = (path.place, path.carried, path.hedged, path.reach, tuple(said.question for said in path.said))
            if state in seen:
                continue
            seen.add(state)
            if path.place == len(tokens):
                if path.said and (best is None or path.cost < best.cost):
                    best = _hedged_behind(path)
                continue
            if best is None or path.cost < best.cost:
                path = replace(path, reach=behind_sign(path.reach, text.sign_before(path.place)))
                waiting += self._steps(tokens, path, now)
                waiting += self._denials(text, path, now) if written else ()
        return Understood(merged(shared_out(best.said, best.ends, text)), best.repairs) if best else None

    def _steps(self, tokens: Readings, path: _Path, now: Listening) -> Iterator[_Path]:
        for rule in ("filler.hedge", "filler.noise"):
            hedged = path.hedged or rule == "filler.hedge"
            for match in self.book.network(rule).matches(tokens, path.place):
                reach = behind_filler(path.reach, words_of(tokens, path.place, match.end))
                more = replace(path, place=match.end, repairs=path.repairs + match.repairs, hedged=hedged, reach=reach)
                yield replace(more, fillers=path.fillers + 1)
        done = {said.question for said in path.said}
        now = now.facing(said.question for said in path.said)
        yield from self._shared(tokens, path, done, now)
        for question in first_of_each_part(now, done):
            for match in self._fits(tokens, path, question, done, now):
                if targets := sides(question, match.tags, now):
                    taken = self._taken(tokens, path, question, match, targets)
                    yield replace(taken, ahead=path.ahead + now.asked.index(question))

    def _denials(self, text: Spelled, path: _Path, now: Listening) -> Iterator[_Path]:
        """ "No splits or rot", typed at the question about them: those faults are denied, others may be there."""
        question, before = now.open, [_as_value(said.means) for said in path.said]
        if not question or question.kind != "condition" or question.works or not all(map(_sound, before)):
            return
        # "no, loose" may be either
        if text.sign_before(path.place + 1) or {said.question for said in path.said} - {question.key}:
            return
        for match in denied_faults(text.tokens, path.place, self.utterances.network(f"<{question.says}{FAULTS}>")):
            taken = self._taken(text.tokens, path, question, match, (question,))
            yield replace(taken, fillers=path.fillers + 1)  # "no damage" has its own meaning

    def _shared(self, tokens: Readings, path: _Path, done: set[str | None], now: Listening) -> Iterator[_Path]:
        """ "Frame and leaf fine": one answer of two or more parts, where it is an answer of each of them."""
        for names in self.utterances.network(TOGETHER).matches(tokens, path.place):
            parts = [tag.removeprefix("component=") for tag in names.tags if tag.startswith("component=")]
            firsts = [question for question in first_of_each_part(now, done) if sides(question, (), now)]
            open_ones = [question for question in firsts if question.kind == "condition"]
            asked = [next((each for each in open_ones if each.component == part), None) for part in parts]
            questions = [each for each in asked if each and each.key not in done and not self._twin(each, done, now)]
            if len(set(parts)) < len(parts) or len(questions) < len(parts):
                continue
            start = replace(path, place=names.end, repairs=path.repairs + names.repairs)
            found = [{match.end: match for match in self._plain(tokens, names.end, each)} for each in questions]
            for end in set(found[0]).intersection(*found):
                taken = start
                for question, matches in zip(questions, found, strict=True):
                    again = replace(taken, place=names.end)
                    taken = self._taken(tokens, again, question, matches[end], (question,))
                yield replace(taken, repairs=start.repairs + found[0][end].repairs, fillers=path.fillers)

    def _plain(self, tokens: Readings, start: int, question: Question) -> Iterator[Match]:
        """Answers of the question itself: sound or a fault, of this face."""
        for match in self.utterances.network(bare(question)).matches(tokens, start):
            if not any(tag.startswith(("face=", "which=", "component=")) for tag in match.tags):
                yield match

    @staticmethod
    def _twin(question: Question, done: set[str | None], now: Listening) -> bool:
        """Whether the question like it was answered in this breath: then the words must say which is meant."""
        if any(twins(question, other) for other in now.before):
            return True
        return any(twins(question, other) for other in now.asked if other.key in done)

    def _fits(
        self, tokens: Readings, path: _Path, question: Question, done: set[str | None], now: Listening
    ) -> Iterator[Match]:
        """Matches of one question here, with its part named or not."""
        before = [_as_value(said.means) for said in path.said if said.question == question.key]
        twin = self._twin(question, done, now)
        if question.component != "register" and not before:
            for match in self.utterances.network(named(question)).matches(tokens, path.place):
                if (not twin or says_which(question, match)) and not (path.reach is Reach.WORD and _fault(match)):
                    yield match
        open_now = now.open is not None and question.key == now.open.key and not (done - {question.key})
        for match in self._unnamed(tokens, path.place, question):
            words = words_of(tokens, path.place, match.end)
            if _fault(match) and denied(path.reach, words, any(tag.startswith("component=") for tag in match.tags)):
                continue
            about_it = open_now or (
                path.carried == question.component and goes_without_name(question, words, done, now)
            )
            if (before and not _goes_on(before, match)) or (twin and not before and not says_which(question, match)):
                continue
            if about_it or f"component={question.component}" in match.tags:
                yield match

    def _unnamed(self, tokens: Readings, start: int, question: Question) -> Iterator[Match]:
        """Matches without the part's name in front; what names it by itself ("it's wedged open") also where the same
        words are an answer that does not."""
        yield from self.utterances.network(bare(question)).matches(tokens, start)
        if self.book.names_itself(question.says):
            yield from self.utterances.network(naming(question)).matches(tokens, start)

    @staticmethod
    def _taken(tokens: Readings, path: _Path, question: Question, match: Match, targets: tuple[Question, ...]) -> _Path:
        words = words_of(tokens, path.place, match.end)
        # The face that a question is about goes without saying: "Sign, other side: missing".
        tags = tuple(tag for tag in match.tags if not (question.side and tag in FACES))
        means = value_of(tags, question.unit)
        hedged, partial = path.hedged or "hedge" in match.tags, "partial" in match.tags or of_one_face(question, tags)
        said = tuple(
            Said(question=target.key, means=_as_value(means), phrase=" ".join(words), hedged=hedged or partial,
                 partial=partial and not hedged) for target in targets
        )  # fmt: skip
        reach = reach_of(words, "sound" in match.tags, "partial" in match.tags)
        ends = path.ends + len(said) * (match.end,)
        repairs = path.repairs + match.repairs
        return _Path(match.end, path.said + said, ends, question.component, False, repairs, path.fillers, reach=reach)


def _goes_on(before: list[Value], match: Match) -> bool:
    """Whether a match adds to what was said at the same question: a fault to anything, a pass only to a pass, a gap at
    one place to a gap at another."""
    if _fault(match):
        return True
    if isinstance(before[0], Measure) and which_of(match.tags):
        return isinstance(value_of(match.tags, "mm"), Measure)
    return "sound" in match.tags and all(isinstance(value, Condition) and value.sound for value in before)


def _fault(match: Match) -> bool:
    return any(tag.startswith("defect=") for tag in match.tags)


def _sound(value: Value) -> bool:
    return isinstance(value, Condition) and value.sound


def _command(means: Command, tokens: Readings) -> Said:
    return Said(question=None, means=means, phrase=" ".join(token[0][0] for token in tokens))


def _as_value(means: Value | Command) -> Value:
    if isinstance(means, Command):
        raise ValueError("a command stands where an answer should")
    return means


def typed(understanding: Understanding, text: str, now: Listening, by: By = By.TYPING) -> Heard | Unsure | OffGrammar:
    """Typed or tapped words as the dialogue takes them. Where a slip was mended, nothing passes unconfirmed."""
    understood = understanding.words(text, now, written=True)
    if understood is None:
        too_long = len(split_words(text)) > MOST_WORDS
        return OffGrammar(by=by, words=text, advice=TOO_LONG if too_long else None)
    heard = Heard(by=by, said=understood.said, words=text.strip(), engine="typed")
    doubtful = understood.repairs and polarity_of(understood.said, now) is Polarity.PASS
    return Unsure(by=by, guesses=(heard,)) if doubtful else heard
