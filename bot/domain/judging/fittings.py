"""Hold-open devices, locks, glass marks."""

from __future__ import annotations

from bot.domain.door import HoldOpen, Use
from bot.domain.findings import Finding
from bot.domain.judging.rule import COMPETENT, Example, Rule, Seen
from bot.domain.judging.ruleset import COMMON
from bot.domain.judging.severity import Severity
from bot.domain.meaning import Condition, YesNo


def _acoustic(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, Condition) or seen.door.hold_open is not HoldOpen.ACOUSTIC:
        return []
    if seen.door.use is not Use.STAIR:
        return []
    why = "A device that only listens for the alarm may not hear it; a stair needs the surest kind of release."
    do_now = "Close the door, leave it closed and report it; a competent person compares it with the fire strategy."
    source = "BS 7273-4, categories A, B and C of release (from memory)"
    return seen.finding("hold_open.acoustic", Severity.SOON, "acoustic device on a stair door", why, do_now, source)


def _not_locked(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, YesNo) or seen.value.yes:
        return []
    why = "A door without a closer protects only while it is locked shut."
    source = "GOV.UK, fire door guidance: cupboard and riser doors not self-closing are kept locked shut (secondary)"
    do_now = "Lock it when you leave and tell the supervisor at once."
    return seen.finding("lock.unlocked", Severity.ACT_NOW, "was not locked", why, do_now, source)


def _no_mark(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, YesNo) or seen.value.yes:
        return []
    why = "Clear glass without a mark may be ordinary glass, which breaks within minutes."
    return seen.finding("mark.unmarked", Severity.SOON, "no mark", why, COMPETENT, COMMON)


FITTING_RULES = (
    Rule(
        "hold_open.acoustic",
        ("hold_open",),
        "No device that only listens for the alarm holds a stair door.",
        Severity.SOON,
        _acoustic,
        Example(
            {"use": "stair", "hold_open": "acoustic"},
            {"hold_open": {"kind": "condition"}},
            "acoustic device on a stair door",
        ),
        "BS 7273-4 (from memory)",
    ),
    Rule(
        "lock.unlocked",
        ("lock",),
        "A door without a closer is kept locked shut.",
        Severity.ACT_NOW,
        _not_locked,
        Example({"closer": "none, kept locked"}, {"lock": {"kind": "yes_no", "yes": False}}, "was not locked"),
        "GOV.UK, fire door guidance (secondary)",
    ),
    Rule(
        "mark.unmarked",
        ("mark",),
        "Clear fire-resisting glass carries a mark.",
        Severity.SOON,
        _no_mark,
        Example({"glazing": "clear fire-resisting"}, {"mark": {"kind": "yes_no", "yes": False}}, "no mark"),
    ),
)
