"""What it costs to take an answer wrongly, to read it back, to ask again; and the choice that costs
least.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pydantic import BaseModel, ConfigDict, Field


class Decision(StrEnum):
    """What is done with something heard."""

    ACCEPT = "accept"
    READ_BACK = "read back"
    ASK_AGAIN = "ask again"


class Stakes(BaseModel):
    """What is lost, in turns of talk, when an answer is entered that was not given.

    flip: the opposite was said. astray: something else was said. read_back: of saying it back,
    where that costs another sum than elsewhere.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    flip: float = Field(gt=0)
    astray: float = Field(gt=0)
    read_back: float | None = Field(default=None, gt=0)

    def dearer(self, other: Stakes) -> Stakes:
        """The dearer of each."""
        return Stakes(flip=max(self.flip, other.flip), astray=max(self.astray, other.astray))


class CostlyComponents(Stakes):
    """Stakes of a pass on some components, by their keys."""

    components: tuple[str, ...]


class Costs(BaseModel):
    """All costs, in turns of talk. slip: share of wrong read-backs that are confirmed all the
    same.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    read_back: float = Field(gt=0)
    ask_again: float = Field(gt=0)
    slip: float = Field(ge=0, lt=1)
    dear: CostlyComponents
    passing: Stakes = Field(alias="pass")
    defect: Stakes
    other: Stakes

    def of_pass(self, component: str | None) -> Stakes:
        """Stakes of an answer that would pass this component."""
        dear = component in self.dear.components
        return Stakes(flip=self.dear.flip, astray=self.dear.astray) if dear else self.passing


@dataclass(frozen=True)
class CheapestDecision:
    """What costs least, and what each way would cost, in turns."""

    decision: Decision
    costs: dict[str, float]


def choose(right: float, opposite: float, stakes: Stakes, costs: Costs) -> CheapestDecision:
    """Accept, read back or ask again, by what each may be expected to cost.

    right: probability that this is what was said, 0 to 1. opposite: probability that its opposite
    was said.
    """
    right, opposite = _share(right), min(_share(opposite), 1 - _share(right))
    wrong = opposite * stakes.flip + (1 - right - opposite) * stakes.astray
    expected = {
        Decision.ACCEPT: wrong,
        Decision.READ_BACK: (
            (stakes.read_back or costs.read_back)
            + (1 - right) * costs.ask_again
            + costs.slip * wrong
        ),
        Decision.ASK_AGAIN: costs.ask_again,
    }
    # where two cost the same, the more careful one
    best = min(reversed(expected), key=lambda decision: expected[decision])
    return CheapestDecision(
        best, {decision.value: round(cost, 4) for decision, cost in expected.items()}
    )


def _share(value: float) -> float:
    if not 0 <= value <= 1:
        raise ValueError(f"{value} is no probability. Give one from 0 to 1.")
    return value
