"""Results of the second interpreter, as values that the dialogue can act on."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

from doorround.domain.input_result import Said
from doorround.domain.values import Condition, YesNo

MAX_OFFERS = 3


@dataclass(frozen=True)
class Offer:
    """One possible meaning of the words, to be offered.

    meaning: one or more answers, as in an interpretation. words: text for the caretaker, with part,
    face and meaning: "leaf, this side: a hole". score: similarity, 0 to 1; used only for ordering.
    """

    meaning: tuple[Said, ...]
    words: str
    score: float


@dataclass(frozen=True)
class Understood:
    """What to do with words outside the grammar.

    kind: "entered": every word is known, and `meanings` may be entered like a phrase of the
    grammar; "read_back": `meanings` wait for a yes; "offered": the caretaker chooses one of
    `offers`, at most three, or none; "nothing": the words are no answer here. offers: with
    "read_back", other possible meanings. doubtful: the words express doubt, or say that nothing was
    seen; other transcripts of the same recording may then not offer a pass.
    """

    kind: Literal["entered", "read_back", "offered", "nothing"]
    meanings: tuple[Said, ...] = ()
    offers: tuple[Offer, ...] = ()
    doubtful: bool = field(default=False, compare=False)

    def as_spoken(self) -> Understood:
        """The result for a transcript, which is uncertain: nothing is entered, and a pass is only
        offered, since a stray "yes" to a read-back would pass the part.
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
    """Read-back of several clauses; None if one is unclear, or two are about the same question."""
    if any(each.kind not in ("entered", "read_back") for each in found):
        return None
    told = (each for one in found for each in one.meanings)
    meanings = tuple(each.model_copy(update={"verbatim": text}) for each in told)
    once = len({each.question for each in meanings}) == len(meanings)
    return Understood("read_back", meanings) if once else None


def not_entered(found: Understood) -> Understood:
    """The result for a face or leaf other than the one in question: it waits for a yes."""
    return replace(found, kind="read_back") if found.kind == "entered" else found
