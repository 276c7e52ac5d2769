"""What a whole utterance may be at this point of the talk, put together from the grammar files."""

from __future__ import annotations

from collections.abc import Iterator

from bot.dialogue.listening import Listening
from bot.domain.checklist import Question
from bot.hearing.book import NAMING, GrammarBook
from bot.hearing.network import Automaton, Network

# A door asks some twenty questions, each with its own automaton of about 1 MB.
MOST_KEPT = 64

SIDE = "[<place.side>]"


def bare(question: Question) -> str:
    """An answer by itself, to the open question."""
    return f"(<{question.says}> | <cannot.check> | <cannot.absent>) {SIDE}"


def named(question: Question) -> str:
    """An answer that names its part: "hinges all tight", "other side frame fine"."""
    return f"{SIDE} <component.{question.component}> {SIDE} [<filler.link>] {bare(question)}"


class Utterances:
    """Networks for the pieces of an utterance, built once for each question."""

    def __init__(self, book: GrammarBook) -> None:
        self.book = book
        self._networks: dict[str, Network] = {}
        self._automata: dict[str, Automaton] = {}

    def network(self, body: str) -> Network:
        """The network of a rule body such as bare() or named() write."""
        if body not in self._networks:
            self._networks[body] = self.book.network_of(body)
        return self._networks[body]

    def body(self, listening: Listening) -> str:
        """One rule body of everything that may be said now."""
        return " | ".join(f"({part})" for part in self._whole(listening))

    def automaton(self, listening: Listening) -> Automaton:
        """The same as the smallest automaton of its words; kept for the questions asked last."""
        body = self.body(listening)
        if body not in self._automata:
            if len(self._automata) >= MOST_KEPT:
                self._automata.pop(next(iter(self._automata)))
            self._automata[body] = self.book.automaton_of(body)
        return self._automata[body]

    def _whole(self, listening: Listening) -> Iterator[str]:
        """A command; an answer to the open question and any number of answers that name their parts; a correction.

        All parts of the door are in, answered or not: the grammar is then the same each time a question is asked, and
        nothing that a person might say is forced into something else.
        """
        yield "<always.words>"
        if listening.yes_no:
            yield "<yes_no.right>"
            yield from (f"[<filler.no>] <{question.says}>" for question in listening.last)
        else:
            yield from (f"<filler.no> <{question.says}>" for question in listening.last)
        if listening.open:
            yield "[<filler.hedge>] (<cannot.check> | <cannot.absent>)"
        first = f"[[<filler.hedge>] <{listening.open.says}> {SIDE}]" if listening.open else ""
        parts = list(self._parts(listening))
        if parts:
            yield f"{first} ([and] ({' | '.join(parts)}))*"
        elif first:
            yield first

    def _parts(self, listening: Listening) -> Iterator[str]:
        """For each part of the door: its name, one or two of its answers; "three hinges, all tight"; and what names
        its part by itself, such as "two screws missing"."""
        says: dict[str, list[str]] = {}
        for question in listening.parts:
            kinds = says.setdefault(question.component, [])
            if question.component != "register" and question.says not in kinds:
                kinds.append(question.says)
        for component, rules in says.items():
            if rules:
                answers = " | ".join(f"<{rule}>" for rule in rules)
                more = f"[{answers}]" if len(rules) > 1 else ""
                yield f"{SIDE} <component.{component}> [is | are] ({answers}) {more}"
                yield from (f"<{rule}{NAMING}>" for rule in rules if self.book.names_itself(rule))
                if more and "count.hinges" in rules:
                    yield f"<number.digit> <component.hinges> [{answers}]"
