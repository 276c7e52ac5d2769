"""The built-in rule sets, by key."""

from __future__ import annotations

from doorround.domain.judging.american_sets import EDITION_SETS, NFPA_80_ANNUAL
from doorround.domain.judging.british_sets import ENGLAND_FLATS, UK_PREMISES
from doorround.domain.judging.rule_set import RuleSet

SETS: dict[str, RuleSet] = {
    each.key: each for each in (ENGLAND_FLATS, UK_PREMISES, NFPA_80_ANNUAL, *EDITION_SETS)
}
FAMILIES = tuple(dict.fromkeys(each.kin for each in SETS.values()))
DEFAULT = UK_PREMISES
