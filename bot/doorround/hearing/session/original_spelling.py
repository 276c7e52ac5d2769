"""A text as grammar tokens together with its original spelling."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from doorround.domain.input_result import Said
from doorround.hearing.grammar.negation import pieces, sign_behind
from doorround.hearing.lexicon.tokeniser import Readings, split_words


@dataclass(frozen=True)
class Spelled:
    """text: as typed or recognised. tokens: its words, each with its possible readings."""

    text: str
    tokens: Readings

    @cached_property
    def _cuts(self) -> list[tuple[int, int, str]]:
        """After each piece of the text: words so far, characters so far, the separator there."""
        found = []
        letters = 0
        words = 0
        for piece in pieces(self.text):
            letters += len(piece)
            words = max(words, len(split_words(self.text[:letters])))
            found.append((words, letters, sign_behind(piece)))
        return found

    @cached_property
    def _signs(self) -> dict[int, str]:
        signs: dict[int, str] = {}
        for words, _, sign in self._cuts:
            signs[words] = max(signs.get(words, ""), sign, key=["", ",", "."].index)
        return signs

    def sign_before(self, place: int) -> str:
        """Separator between a word and the one before it: "," or "."; "" for none."""
        return self._signs.get(place, "")

    def stretch(self, begin: int, end: int) -> str:
        """The original text of the words from `begin` up to `end`."""
        return self.text[self._letters(begin) : self._letters(end)].strip()

    def _letters(self, place: int) -> int:
        if place >= len(self.tokens):
            return len(self.text)
        return (
            next((letters for words, letters, _ in self._cuts if words >= place), len(self.text))
            if place
            else 0
        )


def words_of(tokens: Readings, begin: int, end: int) -> tuple[str, ...]:
    """The words from `begin` up to `end`, with slips corrected."""
    return tuple(token[0][0] for token in tokens[begin:end])


def shared_out(said: tuple[Said, ...], ends: tuple[int, ...], text: Spelled) -> tuple[Said, ...]:
    """Give each answer its own stretch of the text, including the words before it, so no word is
    lost. ends: end of each answer; answers with the same end share the whole stretch.
    """
    cuts = list(dict.fromkeys(ends))
    begins = dict(zip(cuts, (0, *cuts), strict=False))
    last = {cuts[-1]: len(text.tokens)}
    return tuple(
        each.model_copy(update={"verbatim": text.stretch(begins[end], last.get(end, end))})
        for each, end in zip(said, ends, strict=True)
    )


def as_it_came(said: tuple[Said, ...], text: str) -> tuple[Said, ...]:
    """Give the whole text to answers that have no stretch of their own."""
    return tuple(
        each if each.verbatim else each.model_copy(update={"verbatim": text.strip()})
        for each in said
    )
