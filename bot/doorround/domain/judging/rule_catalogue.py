"""Every rule, by key and by the question that triggers it."""

from __future__ import annotations

from doorround.domain.judging.closers import CLOSER_RULES
from doorround.domain.judging.cross_checks import CROSS_CHECKS, SEVERAL_RULE
from doorround.domain.judging.fittings import FITTING_RULES
from doorround.domain.judging.gaps import GAP_RULES
from doorround.domain.judging.hinges import HINGE_RULES
from doorround.domain.judging.rule import Rule
from doorround.domain.judging.seals import SEAL_RULES
from doorround.domain.two_leaves import first_leaf_key

# Rules on a single answer.
ANSWER_RULES = (*GAP_RULES, *CLOSER_RULES, *HINGE_RULES, *SEAL_RULES, *FITTING_RULES)
ALL_RULES: dict[str, Rule] = {
    rule.key: rule for rule in (*ANSWER_RULES, *CROSS_CHECKS, SEVERAL_RULE)
}

_AT: dict[str, tuple[Rule, ...]] = {
    key: tuple(rule for rule in ANSWER_RULES if key in rule.at)
    for rule_ in ANSWER_RULES
    for key in rule_.at
}


def rules_at(question: str) -> tuple[Rule, ...]:
    """Rules triggered by the answer to that question."""
    return _AT.get(first_leaf_key(question), ())
