"""An organisation's own rules: which set a site follows, stricter limits, other severities.

Making a rule milder is allowed, and shown in every report.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator, model_validator

from doorround.domain.checklist import Checklist
from doorround.domain.judging.formatting import amount_words
from doorround.domain.judging.rule_catalogue import ALL_RULES
from doorround.domain.judging.rule_set import GAUGES, Limit, RuleSet
from doorround.domain.judging.rule_sets import DEFAULT, SETS
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.toml_text import read_toml
from doorround.domain.validation_errors import placed_error

NO_TARGETS = Targets()


class _Own(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class CustomLimit(_Own):
    """A limit changed by the organisation: numbers in the unit of the set's limit, such as "3" or
    "1/8".
    """

    most: Fraction | None = None
    least: Fraction | None = None
    watch: Fraction | None = None
    grave: Fraction | None = None
    source: str | None = None

    @field_validator("most", "least", "watch", "grave", mode="before")
    @classmethod
    def _exactly(cls, given: object) -> object:
        return str(given) if isinstance(given, float) else given  # 0.1 as written, not as a float

    @model_validator(mode="after")
    def _changes_something(self) -> Self:
        if not any(getattr(self, name) is not None for name in _EDGES):
            raise ValueError("name at least one of most, least, watch, grave")
        return self


_EDGES = ("most", "least", "watch", "grave")


class CustomRules(_Own):
    """rules: the set for sites not named. site: site → set. severity: rule → how soon. limit: see
    `doorround rules list`. off: disabled rules. gauges: see GAUGES.
    """

    rules: str = DEFAULT.key
    site: dict[str, str] = Field(default_factory=dict)
    severity: dict[str, Severity] = Field(default_factory=dict)
    limit: dict[str, CustomLimit] = Field(default_factory=dict)
    off: tuple[str, ...] = ()
    gauges: tuple[str, ...] = ()

    @model_validator(mode="after")
    def _known_sets(self) -> Self:
        for key in (self.rules, *self.site.values()):
            if key not in SETS:
                raise ValueError(f'there is no rule set "{key}". Use one of: {", ".join(SETS)}')
        for gauge in self.gauges:
            if gauge not in GAUGES:
                raise ValueError(f'there is no gauge "{gauge}". Use one of: {", ".join(GAUGES)}')
        limits = {name for each in SETS.values() for name in each.limits}
        for name in self.limit:
            if name not in limits:
                raise ValueError(
                    f'there is no limit "{name}". Use one of: {", ".join(sorted(limits))}'
                )
        return self


def read_custom_rules(toml_text: str, name: str) -> CustomRules:
    """Parse an organisation's rules from TOML.

    Raises ValueError naming the file and what is wrong.
    """
    given = read_toml(toml_text, name)
    try:
        return CustomRules.model_validate(given)
    except ValidationError as error:
        place, why = placed_error(error, CustomRules.model_fields)
        raise ValueError(f"{name}, {place or 'as a whole'}: {why}") from error


def with_custom_rules(
    checklist: Checklist, own: CustomRules, targets: Targets = NO_TARGETS, name: str = "rules.toml"
) -> Checklist:
    """The checklist with each site's rules as the organisation set them. targets: days by severity.
    Raises ValueError for a rule that neither the program nor the checklist has.
    """
    mildest = _gravest_of(checklist)
    for key in (*own.severity, *own.off):
        if key not in mildest:
            raise ValueError(f'{name}: there is no rule "{key}". See doorround rules list.')
    ours = {key: _changed(rules, own, mildest, name) for key, rules in SETS.items()}
    chosen = {key: rules.model_copy(update={"targets": targets}) for key, rules in ours.items()}
    by_site = {site: chosen[key] for site, key in own.site.items()}
    return checklist.model_copy(update={"rules": chosen[own.rules], "by_site": by_site})


def _gravest_of(checklist: Checklist) -> dict[str, Severity]:
    """Every rule → the highest severity it can give."""
    named = {f"{each.component}.{each.name}": each.most_severe for each in checklist.defect}
    return {**named, **{key: rule.severity for key, rule in ALL_RULES.items()}}


def _changed(
    rules: RuleSet, own: CustomRules, most_severe: Mapping[str, Severity], name: str
) -> RuleSet:
    limits = dict(rules.limits)
    loosened = []
    for key, change in own.limit.items():
        if key in limits:
            limits[key] = _limit(limits[key], change, name)
            loosened += _loosened_limit(key, rules.limits[key], limits[key])
    for key, severity in own.severity.items():
        if severity.rank < most_severe[key].rank and key not in rules.without:
            loosened.append(f"{key}: “{severity}” in place of “{most_severe[key]}”")
    loosened += [f"{key}: not used" for key in own.off if key not in rules.without]
    changed: dict[str, Any] = {
        "limits": limits,
        "severity": {**rules.severity, **own.severity},
        "without": {**rules.without, **{key: f"{name} puts it off" for key in own.off}},
        "gauges": own.gauges,
        "own": (
            name if own != CustomRules(rules=own.rules, site=own.site, gauges=own.gauges) else ""
        ),
        "loosened": tuple(loosened),
    }
    return rules.model_copy(update=changed)


def _limit(published: Limit, change: CustomLimit, name: str) -> Limit:
    edges: dict[str, Fraction | None] = {
        edge: given for edge in _EDGES if (given := getattr(change, edge)) is not None
    }
    if "most" in edges:
        edges["most_mm"] = None
    return published.model_copy(
        update={**edges, "source": change.source or f"{name}; else {published.source}"}
    )


def _loosened_limit(key: str, published: Limit, ours: Limit) -> list[str]:
    """In words, where a bound is looser than before.

    A new bound can only tighten.
    """
    looser = []
    for edge in _EDGES:
        before = getattr(published, edge)
        now = getattr(ours, edge)
        if before is not None and (now < before if edge == "least" else now > before):
            looser.append(
                f"{key}: {edge} {amount_words(ours, now)} in place of"
                f" {amount_words(published, before)}"
            )
    return looser
