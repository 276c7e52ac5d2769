"""A partial parse of an utterance."""

from __future__ import annotations

from dataclasses import dataclass, replace

from doorround.domain.input_result import Said
from doorround.hearing.grammar.negation import NegationScope


@dataclass(frozen=True)
class ParsePath:
    """A partial parse: token reached, answers so far and their ends, current part, pending hedge,
    scope of a negation. ahead: sum of the answered questions' positions in the list.
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
        """Sort key; lower is better: fewer repairs, fewer answers, only the open question, fewer
        fillers, fewer questions, earlier questions.
        """
        asked = len({each.question for each in self.said}), self.ahead
        return (self.repairs, len(self.said), self.ahead > 0, self.fillers, *asked)


def hedged_behind(path: ParsePath) -> ParsePath:
    """Apply a final hedge to the last answer: "three, I think"."""
    if not path.hedged:
        return path
    last = path.said[-1].model_copy(update={"hedged": True, "partial": False})
    return replace(path, said=(*path.said[:-1], last))
