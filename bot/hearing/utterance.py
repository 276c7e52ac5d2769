"""What a whole utterance may be at this point of the talk, put together from the grammar files."""

from __future__ import annotations

from bot.dialogue.listening import Listening
from bot.domain.checklist import Question
from bot.hearing.book import GrammarBook
from bot.hearing.network import Network

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

    def network(self, body: str) -> Network:
        """The network of a rule body such as bare() or named() write."""
        if body not in self._networks:
            self._networks[body] = self.book.network_of(body)
        return self._networks[body]

    def answers(self, listening: Listening) -> list[str]:
        """Rule bodies of single answers that may be said now."""
        bodies = []
        if listening.open:
            bodies += [bare(listening.open), named(listening.open)]
        bodies += [named(question) for question in listening.others if question.component != "register"]
        return list(dict.fromkeys(bodies))

    def jsgf(self, listening: Listening) -> str:
        """One grammar of everything that may be said now: one answer or up to three, a command, a correction."""
        answers = self.answers(listening)
        whole = ["<always.words>"]
        if answers:
            answer = f"({' | '.join(answers)})"
            whole += [f"[<filler.hedge>] {answer}", f"{answer} [and] {answer} [[and] {answer}]"]
        if listening.yes_no:
            whole.append("<yes_no.right>")
        whole += [f"<filler.no> {bare(question)}" for question in listening.last]
        return self.book.write_jsgf(" | ".join(f"({part})" for part in whole))
