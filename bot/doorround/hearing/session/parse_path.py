"""How far the words of an utterance are understood, while they are read."""

from __future__ import annotations

from dataclasses import dataclass, replace

from doorround.domain.input_result import Said
from doorround.hearing.grammar.negation import NegationScope


@dataclass(frozen=True)
class ParsePath:
    """How far the words are understood: place reached, answers so far and where each ends, part
    spoken of, hedge waiting for its answer, what a denial reaches.
    """

    place: int = 0
    said: tuple[Said, ...] = ()
    ends: tuple[int, ...] = ()
    carried: str | None = None
    hedged: bool = False
    repairs: int = 0
    fillers: int = 0
    ahead: int = 0
    reach: NegationScope = NegationScope.OVER

    @property
    def cost(self) -> tuple[int, int, bool, int, int, int]:
        """Of two readings the one with fewer slips and pieces; that answers what is asked; with
        fewer fillers; that answers less, and sooner questions. ahead: how far down the list the
        questions stand.
        """
        asked = len({each.question for each in self.said}), self.ahead
        return (self.repairs, len(self.said), self.ahead > 0, self.fillers, *asked)


def hedged_behind(path: ParsePath) -> ParsePath:
    """ "Three, I think": a hedge behind the last answer is about that one."""
    if not path.hedged:
        return path
    last = path.said[-1].model_copy(update={"hedged": True, "partial": False})
    return replace(path, said=(*path.said[:-1], last))
