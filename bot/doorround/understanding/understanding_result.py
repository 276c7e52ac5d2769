"""What the second understanding makes of words: values that a dialogue can act on."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

from doorround.domain.input_result import Said
from doorround.domain.values import Condition, YesNo

MAX_OFFERS = 3


@dataclass(frozen=True)
class Offer:
    """One meaning that words may have, to be offered.

    meaning: as an interpretation has it, one answer or more. words: how to name it to the
    caretaker: part, face and meaning, "leaf, this side: a hole". score: how near it is, 0 to 1;
    only its order counts.
    """

    meaning: tuple[Said, ...]
    words: str
    score: float


@dataclass(frozen=True)
class Understood:
    """What to do with words that the grammar does not read.

    kind: "entered": every word was read, and `meanings` may be entered, as a phrase of the grammar
    would be; "read_back": `meanings` wait for a yes; "offered": one of `offers`, at most three, or
    none of them; "nothing": these words are no answer here. offers: with "read_back" too, what else
    may be meant. doubtful: a word of doubt was read, or that nothing was seen: another writing of
    the same recording may then offer nothing that passes.
    """

    kind: Literal["entered", "read_back", "offered", "nothing"]
    meanings: tuple[Said, ...] = ()
    offers: tuple[Offer, ...] = ()
    doubtful: bool = field(default=False, compare=False)

    def as_spoken(self) -> Understood:
        """The same of a transcript, which is not sure: nothing is entered, and what would pass is
        only offered, since a stray "yes" would pass the part.
        """
        if self.meanings and any(map(passes, self.meanings)):
            offer = Offer(self.meanings, self.meanings[0].phrase, 1.0)
            offers = (*self.offers[: MAX_OFFERS - 1], offer)
            return replace(self, kind="offered", meanings=(), offers=offers)
        if self.kind == "entered":
            return replace(self, kind="read_back")
        return self


def passes(said: Said) -> bool:
    """Whether an answer would leave its part sound, or answer "yes"."""
    value = said.value
    return (isinstance(value, Condition) and value.passes) or value == YesNo(yes=True)


NOTHING = Understood("nothing")


def together(found: list[Understood], text: str) -> Understood | None:
    """What several clauses tell, to be read back; None where one is not clear, or two tell of one
    question.
    """
    if any(each.kind not in ("entered", "read_back") for each in found):
        return None
    told = (each for one in found for each in one.meanings)
    meanings = tuple(each.model_copy(update={"verbatim": text}) for each in told)
    once = len({each.question for each in meanings}) == len(meanings)
    return Understood("read_back", meanings) if once else None


def not_entered(found: Understood) -> Understood:
    """The same of another face or leaf than the one asked about: it waits for a yes."""
    return replace(found, kind="read_back") if found.kind == "entered" else found
