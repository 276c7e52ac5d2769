"""Every rule under a set, described for people and programs."""

from __future__ import annotations

from typing import Any

from doorround.domain.checklist import Checklist, KnownDefect
from doorround.domain.judging.formatting import limit_words
from doorround.domain.judging.rule import Rule
from doorround.domain.judging.rule_catalogue import ALL_RULES
from doorround.domain.judging.rule_set import RuleSet
from doorround.domain.judging.source_history import source_history
from doorround.domain.values import Choice, Count, Measure, YesNo


def described_rules(checklist: Checklist) -> list[dict[str, Any]]:
    """Each rule: key, severity (None if unused by the set), from (lowest severity, if graduated),
    says, source, limits, questions, points, example, history of its sources, why_not.
    """
    faults = [_fault(each, checklist) for each in checklist.defect]
    return [*faults, *(_rule(each, checklist) for each in ALL_RULES.values())]


def _common(key: str, checklist: Checklist) -> dict[str, Any]:
    points = [f"{each.name}: {each.words}" for each in checklist.rules.points if key in each.rules]
    return {"points": points, "why_not": checklist.rules.without.get(key)}


def american_or_own(rule: Rule, checklist: Checklist) -> str:
    """The source of a rule under these sets."""
    return rule.american if rule.american and checklist.rules.kin == "nfpa-80" else rule.source


def described_set(rules: RuleSet) -> dict[str, Any]:
    """A rule set: key, title, duties, limits, points, and what it omits."""
    limits = [
        f"{name}: {limit_words(limit, rules.unit)} [{limit.source}]"
        for name, limit in rules.limits.items()
    ]
    return {
        "key": rules.key,
        "title": rules.title,
        "duties": [f"{each.words} [{each.source}]" for each in rules.duties],
        "limits": limits,
        "points": [f"{each.name}: {each.words}" for each in rules.points],
        "without": [f"{key}: {why}" for key, why in rules.without.items()],
    }


def _fault(known: KnownDefect, checklist: Checklist) -> dict[str, Any]:
    key = f"{known.component}.{known.name}"
    own = checklist.rules.severity.get(key)
    source = known.sources.get(checklist.rules.kin, known.source)
    return {
        "key": key,
        "severity": checklist.rules.how_soon(key, known.most_severe),
        "from": known.mildest if known.mildest is not known.most_severe and own is None else None,
        "says": f"{checklist.part(known.component).name}: {known.words}. {known.why}",
        "source": source,
        "limits": [],
        "questions": [
            each.key
            for each in checklist.question
            if each.component == known.component and not each.fills
        ],
        "example": f"answer “{known.name}” → {known.words}",
        "history": source_history(source),
        **_common(key, checklist),
    }


def _rule(rule: Rule, checklist: Checklist) -> dict[str, Any]:
    limits = {
        name: checklist.rules.limits[name] for name in rule.limits if name in checklist.rules.limits
    }
    unit = checklist.rules.unit
    cited = dict.fromkeys(limit.source for limit in limits.values())
    source = "; ".join(cited) or american_or_own(rule, checklist)
    return {
        "key": rule.key,
        "severity": checklist.rules.how_soon(rule.key, rule.severity),
        "from": rule.mildest if rule.key not in checklist.rules.severity else None,
        "says": rule.says,
        "source": source,
        "limits": [
            f"{name}: {limit_words(limit, unit)} [{limit.source}]" for name, limit in limits.items()
        ],
        "questions": list(rule.at),
        "example": _example(rule),
        "history": source_history(source),
        **_common(rule.key, checklist),
    }


def _example(rule: Rule) -> str:
    door = [f"{name} {value}" for name, value in rule.example.door.items()]
    answers = [f"{key} {answer_words(given)}" for key, given in rule.example.answers.items()]
    return f"{', '.join([*door, *answers])} → {rule.example.what}"


def answer_words(given: Any) -> str:
    """An example's answer as plain data, in words."""
    match given["kind"]:
        case "measure":
            value = Measure.model_validate(given)
            return f"{value.amount} {value.unit}"
        case "count":
            return str(Count.model_validate(given).number)
        case "yes_no":
            return "yes" if YesNo.model_validate(given).yes else "no"
        case "choice":
            return Choice.model_validate(given).chosen
    return ", ".join(str(each["name"]) for each in given.get("defects", ())) or "sound"
