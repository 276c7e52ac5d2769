"""How soon each rule speaks, by which source, and what history each cited document has."""

from __future__ import annotations

import re

from visits import door

from doorround.config.resources import load_checklist
from doorround.domain.door import Seals
from doorround.domain.judging.rule_catalogue import ALL_RULES
from doorround.domain.judging.rule_listing import described_rules
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.source_history import NO_DOCUMENT

CHECKLIST = load_checklist()
# ---- Every rule: the gravest and the mildest that it says, and its source where no limit of the
# set has one ----------

RULES = {
    "gaps.too_wide": ("act now", "soon", "the limit's own"),
    "gaps.meeting_too_wide": ("act now", "soon", "the limit's own"),
    "gaps.threshold_too_wide": ("act now", "watch", "the limit's own"),
    "gaps.too_narrow": ("soon", "watch", "the limit's own"),
    "closer.too_small": ("soon", None, "EN 1154:1996+A1:2002, table 1 (secondary)"),
    "closer.time": ("soon", "watch", "common practice, no source"),
    "closer.force": ("planned", None, "BS 8300, Approved Document M (secondary)"),
    "register.no_closer": ("act now", None, "GOV.UK, fire door guidance (secondary)"),
    "hinges.too_few": ("act now", "soon", "common practice, no source"),
    "hinges.too_weak": (
        "soon",
        "watch",
        "EN 1935:2002; surcharges: trade guides to it (secondary)",
    ),
    "hinges.too_small": (
        "soon",
        None,
        "NFPA 80, table 6.4.3.1, leaves of 1 3/4 in: 4 1/2 in (from memory)",
    ),
    "hold_open.alarm": ("act now", None, "BS EN 1155 and BS 7273-4 (secondary)"),
    "closer.wanted": (
        "soon",
        None,
        "NFPA 80, item 7 (secondary); 6.4.1.1: unless the authority permits (from memory)",
    ),
    "latch.wanted": ("soon", None, "NFPA 80, item 9 (secondary)"),
    "lock.escape_route": (
        "act now",
        None,
        "Regulatory Reform (Fire Safety) Order 2005, article 14 (2) (f) (secondary)",
    ),
    "hinges.many_screws_missing": ("act now", None, "common practice, no source"),
    "seals.not_as_tested": ("soon", None, "the door's own evidence"),
    "seals.no_seals": (
        "soon",
        None,
        "trade data sheets (secondary); the S in FD30S: Approved Document B (from memory)",
    ),
    "seals.no_smoke_seal": (
        "soon",
        None,
        "trade data sheets (secondary); the S in FD30S: Approved Document B (from memory)",
    ),
    "seals.one_strip": (
        "soon",
        None,
        "trade data sheets (secondary); the S in FD30S: Approved Document B (from memory)",
    ),
    "hold_open.acoustic": ("soon", None, "BS 7273-4 (from memory)"),
    "lock.unlocked": ("act now", None, "GOV.UK, fire door guidance (secondary)"),
    "lock.way_out": (
        "act now",
        None,
        "Regulatory Reform (Fire Safety) Order 2005, article 14 (2) (f) (secondary)",
    ),
    "lock.not_allowed": (
        "soon",
        None,
        (
            "GOV.UK, fire door guidance, cupboards and risers; Approved Document B, C5, cupboards"
            " and ducts (secondary)"
        ),
    ),
    "lock.register": (
        "soon",
        None,
        (
            "GOV.UK, fire door guidance, cupboards and risers; Approved Document B, C5, cupboards"
            " and ducts (secondary)"
        ),
    ),
    "mark.unmarked": ("soon", None, "common practice, no source"),
    "leaf.out_of_square": ("soon", None, "common practice, no source"),
    "gaps.uneven": ("planned", None, "common practice, no source"),
    "door.several": ("act now", "planned", "common practice, no source"),
}


def test_how_soon_each_rule_speaks_and_by_which_source() -> None:
    assert {
        key: (rule.severity, rule.mildest, rule.source) for key, rule in ALL_RULES.items()
    } == RULES


def test_each_document_that_a_rule_cites_has_its_history() -> None:
    for rules in SETS.values():
        for told_of in described_rules(CHECKLIST.under(rules)):
            assert told_of["history"], told_of["key"]
            documents = re.findall(_DOCUMENT, told_of["source"])
            assert bool(documents) == (told_of["history"] != [NO_DOCUMENT]), told_of["key"]


_DOCUMENT = r"BS (?:EN )?\d|NFPA|ADA|IBC|EN 1[19]|GOV|Approved|Order"
BRITISH = r"BS |GOV\.UK|\bEN \d|Approved Document|Regulatory Reform"


def test_american_sets_cite_american_sources_and_british_ones_no_american_source_alone() -> None:
    for rules in SETS.values():
        for told_of in described_rules(CHECKLIST.under(rules)):
            if told_of["severity"] is None:
                continue
            cited = " ".join([told_of["source"], *told_of["limits"]])
            if rules.kin == "nfpa-80":
                assert not re.search(BRITISH, cited), (told_of["key"], cited)
            elif re.search(r"NFPA|ADA|IBC", cited):
                assert re.search(f"{BRITISH}|common practice", cited), (told_of["key"], cited)


def test_faults_cite_at_every_door_what_their_set_may_cite() -> None:
    doors = [door(seals=seals, rating=rating) for seals in Seals for rating in ("FD30", "FD30S")]
    for fault in CHECKLIST.defect:
        for each in doors:
            assert not re.search(BRITISH, fault.at(each, "nfpa-80").source), fault
            assert not re.match(r"NFPA|ADA|IBC", fault.at(each, "uk-premises").source), fault
