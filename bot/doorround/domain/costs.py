"""Costs of wrongly accepting an answer, reading it back and asking again; and the
cheapest choice.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pydantic import BaseModel, ConfigDict, Field


class Decision(StrEnum):
    """Decision on a recognised phrase."""

    ACCEPT = "accept"
    READ_BACK = "read back"
    ASK_AGAIN = "ask again"


class Stakes(BaseModel):
    """Costs of a false accept, in turns of talk.

    flip: the opposite was said. astray: something else was said. read_back: cost of a read-back,
    where it differs from the default.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    flip: float = Field(gt=0)
    astray: float = Field(gt=0)
    read_back: float | None = Field(default=None, gt=0)

    def dearer(self, other: Stakes) -> Stakes:
        """The higher of each cost."""
        return Stakes(flip=max(self.flip, other.flip), astray=max(self.astray, other.astray))


class CostlyComponents(Stakes):
    """Costs of a wrong pass on some components, by component key."""

    components: tuple[str, ...]


class Costs(BaseModel):
    """All costs, in turns of talk. slip: share of wrong read-backs that are nevertheless
    confirmed.
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
        """Costs of wrongly passing this component."""
        dear = component in self.dear.components
        return Stakes(flip=self.dear.flip, astray=self.dear.astray) if dear else self.passing


@dataclass(frozen=True)
class CheapestDecision:
    """The cheapest decision, and the cost of each, in turns."""

    decision: Decision
    costs: dict[str, float]


def choose(right: float, opposite: float, stakes: Stakes, costs: Costs) -> CheapestDecision:
    """Accept, read back or ask again, by expected cost.

    right: probability that this was said, 0 to 1. opposite: probability that the opposite was said.
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
    # on a tie, the more cautious one
    best = min(reversed(expected), key=lambda decision: expected[decision])
    return CheapestDecision(
        best, {decision.value: round(cost, 4) for decision, cost in expected.items()}
    )


def _share(value: float) -> float:
    if not 0 <= value <= 1:
        raise ValueError(f"{value} is not a probability. Give one from 0 to 1.")
    return value
