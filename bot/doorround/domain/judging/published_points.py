"""Published checklists, and the questions and rules that cover each of their points."""

from __future__ import annotations

from doorround.domain.judging.rule_set import Point


def _point(name: str, words: str, questions: str, rules: str) -> Point:
    return Point(
        name=name, words=words, questions=tuple(questions.split()), rules=tuple(rules.split())
    )


# GOV.UK / Home Office factsheet on regulation 10 of the Fire Safety (England) Regulations 2022
FACTSHEET = (
    _point(
        "1",
        "alterations or damage to glazing or air-transfer grilles",
        "glass.here glass.beyond mark screens leaf.here leaf.beyond",
        "glass.cracked glass.broken glass.hole glass.wrong mark.unmarked screens.cracked"
        " screens.broken leaf.altered leaf.grille leaf.plain_grille leaf.not_fire_door",
    ),
    _point(
        "2",
        "gaps around the frame, seals and hinges fitted correctly",
        "gaps.sides gaps.threshold frame.here frame.beyond seals hinges.count hinges.fixings",
        "gaps.too_wide gaps.threshold_too_wide seals.missing seals.no_smoke_seal hinges.too_few"
        " hinges.screw_missing hinges.wrong_screws frame.wall_gap",
    ),
    _point(
        "3",
        "the closer shuts the door",
        "closer.full closer.ajar",
        "closer.not_closing register.no_closer",
    ),
    _point(
        "4",
        "the door closes correctly around the whole frame",
        "closer.full closer.ajar leaf.here leaf.beyond",
        "closer.stops_short leaf.binding leaf.warped",
    ),
    _point(
        "5",
        "no visible damage to door or closer",
        "leaf.here leaf.beyond frame.here frame.beyond closer.full",
        "leaf.damaged leaf.hole frame.damaged closer.broken closer.leaking",
    ),
)

# NFPA 80, swinging doors with builders hardware, 13 items (secondary)
NFPA_80 = (
    _point("1", "labels visible and legible", "label", "label.missing label.unreadable"),
    _point(
        "2",
        "no open holes or breaks in door or frame",
        "leaf.here leaf.beyond frame.here frame.beyond latch",
        "leaf.hole leaf.split leaf.plain_grille frame.hole frame.split latch.hole",
    ),
    _point(
        "3",
        "glazing, vision-light frames and beads intact and fastened",
        "glass.here glass.beyond",
        "glass.cracked glass.broken glass.loose glass.bead_loose glass.bead_broken"
        " glass.glazing_seal",
    ),
    _point(
        "4",
        "door, frame, hinges, hardware, threshold secured, aligned, working, undamaged",
        "leaf.here leaf.beyond frame.here frame.beyond hinges.fixings latch threshold",
        "leaf.damaged leaf.dropped leaf.warped frame.loose frame.bent frame.threshold"
        " frame.combustible_floor hinges.loose hinges.wrong_screws latch.loose threshold.damaged",
    ),
    _point(
        "5",
        "no parts missing or broken",
        "hinges.count hinges.fixings latch frame.here leaf.here leaf.beyond closer.full",
        "hinges.too_few hinges.screw_missing hinges.hinge_missing hinges.broken latch.missing"
        " frame.stop leaf.parts_missing closer.missing closer.broken",
    ),
    _point(
        "6",
        "clearances within limits",
        "gaps.sides gaps.meeting gaps.threshold",
        "gaps.too_wide gaps.meeting_too_wide gaps.threshold_too_wide",
    ),
    _point(
        "7",
        "self-closer works, door closes completely from fully open",
        "closer.full",
        "closer.not_closing closer.stops_short register.no_closer",
    ),
    _point(
        "8",
        "coordinator: inactive leaf closes before active leaf",
        "coordinator",
        "coordinator.wrong_order",
    ),
    _point(
        "9",
        "latch operates and secures the closed door",
        "latch",
        "latch.not_latching latch.broken latch.bolt",
    ),
    _point(
        "10",
        "no auxiliary hardware that interferes",
        "leaf.here leaf.beyond clear",
        "leaf.hardware clear.fixed",
    ),
    _point(
        "11", "no field modification that voids the label", "leaf.here leaf.beyond", "leaf.altered"
    ),
    _point(
        "12",
        "gasketing and edge seals present and intact",
        "seals leaf.here leaf.beyond",
        "seals.missing seals.part_missing seals.damaged seals.loose seals.painted"
        " leaf.meeting_edge",
    ),
    _point(
        "13",
        "signs on the door meet the rules for signs",
        "sign.here sign.beyond",
        "sign.too_big sign.unreadable sign.damaged",
    ),
)
