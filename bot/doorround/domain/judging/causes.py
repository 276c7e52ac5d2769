"""Groups findings by cause, so that one fault seen from two sides counts once."""

from __future__ import annotations

from collections.abc import Iterable

from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.gaps import EDGE_OF
from doorround.domain.two_leaves import of_second_leaf

# One pane, one flap, one closer, one leaf hanging out of true; common practice, no source.
_ONE_CAUSE = {
    **dict.fromkeys(("glass.cracked", "glass.broken", "glass.hole", "glass.loose"), "the pane"),
    **dict.fromkeys(("glass.wrong", "mark.unmarked"), "the kind of glass"),
    **dict.fromkeys(("letter_plate.open", "letter_plate.missing"), "the flap"),
    **dict.fromkeys(
        (
            *("closer.not_closing", "closer.stops_short", "closer.missing", "closer.broken"),
            *("closer.disconnected", "register.no_closer"),
        ),
        "not closing",
    ),
    **dict.fromkeys(("leaf.dropped", "leaf.out_of_square", "gaps.uneven"), "the hang of the leaf"),
    **dict.fromkeys(("seals.missing", "seals.no_seals", "seals.no_smoke_seal"), "the seals"),
    **dict.fromkeys(("lock.way_out", "lock.escape_route", "clear.locked"), "locked"),
    **dict.fromkeys(("hinges.screw_missing", "hinges.many_screws_missing"), "the screws"),
    **dict.fromkeys(("hinges.hinge_missing", "hinges.too_few"), "too few hinges"),
}
# Each face may have its own: two signs, two dents.
_OF_ONE_FACE = (
    *("sign.", "frame.damaged", "frame.split", "frame.hole", "frame.corroded", "frame.rotten"),
    *("leaf.damaged", "leaf.corroded", "leaf.hardware"),
)
SEVERAL = "door.several"
_BAD = (Verdict.DEFECT, Verdict.ACT_NOW)


def cause_of(finding: Finding) -> tuple[str, ...]:
    """Key shared by findings with the same cause."""
    leaf = "second" if of_second_leaf(finding.question) else "first"
    if finding.rule.startswith(_OF_ONE_FACE):
        return finding.rule, finding.question, finding.what
    edge = EDGE_OF.get(finding.question, "")
    return _ONE_CAUSE.get(finding.rule, finding.rule), leaf, edge


def one_each_cause(findings: Iterable[Finding]) -> list[Finding]:
    """The most severe finding of each cause, in the given order; findings that only combine several
    others are left out.
    """
    most_severe: dict[tuple[str, ...], Finding] = {}
    for each in findings:
        if each.verdict not in _BAD or each.rule == SEVERAL:
            continue
        key = cause_of(each)
        if key not in most_severe or _rank(each) > _rank(most_severe[key]):
            most_severe[key] = each
    return list(most_severe.values())


def _rank(finding: Finding) -> int:
    return finding.severity.rank if finding.severity else -1
