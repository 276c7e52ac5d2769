"""A text as the words that a grammar knows, and still as it came."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from doorround.domain.input_result import Said
from doorround.hearing.grammar.negation import pieces, sign_behind
from doorround.hearing.lexicon.tokeniser import Readings, split_words


@dataclass(frozen=True)
class Spelled:
    """text: as it was typed, or heard. tokens: its words, each with what it may be read as."""

    text: str
    tokens: Readings

    @cached_property
    def _cuts(self) -> list[tuple[int, int, str]]:
        """Behind each piece of the text: words so far, letters so far, the sign there."""
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
        """What parts a word from the one before it: "," or "."; "" for nothing."""
        return self._signs.get(place, "")

    def stretch(self, begin: int, end: int) -> str:
        """The text from one word up to another, as it came."""
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
    """The words from one place up to another, slips mended."""
    return tuple(token[0][0] for token in tokens[begin:end])


def shared_out(said: tuple[Said, ...], ends: tuple[int, ...], text: Spelled) -> tuple[Said, ...]:
    """Each answer with its own stretch of the text, all that stood before it in, so that no word is
    lost. ends: where each answer ends; of several with one end, each has the whole stretch.
    """
    cuts = list(dict.fromkeys(ends))
    begins = dict(zip(cuts, (0, *cuts), strict=False))
    last = {cuts[-1]: len(text.tokens)}
    return tuple(
        each.model_copy(update={"verbatim": text.stretch(begins[end], last.get(end, end))})
        for each, end in zip(said, ends, strict=True)
    )


def as_it_came(said: tuple[Said, ...], text: str) -> tuple[Said, ...]:
    """With the whole text, where it was not shared out."""
    return tuple(
        each if each.verbatim else each.model_copy(update={"verbatim": text.strip()})
        for each in said
    )
