"""Hold-open devices, locks, glass marks."""

from __future__ import annotations

from doorround.domain.door import Closer, HoldOpen, Use
from doorround.domain.findings import Finding
from doorround.domain.judging.rule import COMPETENT, Example, Rule, Seen
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Choice, Condition, YesNo


def _acoustic(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, Condition) or seen.door.hold_open is not HoldOpen.ACOUSTIC:
        return []
    if seen.door.use not in (Use.STAIR, None):
        return []
    why = (
        "A device that only listens for the alarm may not hear it; a stair needs the surest kind of"
        " release."
    )
    do_now = (
        "Close the door, leave it closed and report it; a competent person compares it with the"
        " fire strategy."
    )
    source = "BS 7273-4, categories A, B and C of release (from memory)"
    where = "a stair door" if seen.door.use else "a door that may be of a stair"
    return seen.finding(
        "hold_open.acoustic", Severity.SOON, f"acoustic device on {where}", why, do_now, source
    )


_LOCK = ("lock", "lock.way_out")
"""Was it locked? Did it open without a key?"""
WAY_OUT_AMERICAN = "NFPA 101, 7.2.1.5: doors in the way out open without a key (from memory)"
_ONLY_THESE = "Only a cupboard, a riser or a plant room may be kept locked in place of a closer."
_WAY_OUT = "Regulatory Reform (Fire Safety) Order 2005, article 14 (2) (f) (secondary)"
_EXEMPT_AMERICAN = "common practice, no source"
_EXEMPT = (
    "GOV.UK, fire door guidance, cupboards and risers; Approved Document B, C5, cupboards and ducts"
    " (secondary)"
)


def _exempt(seen: Seen) -> str:
    return seen.cites(_EXEMPT, _EXEMPT_AMERICAN)


def _was_locked(seen: Seen) -> bool | None:
    """Whether it was found locked; None where that was not said."""
    if not isinstance(seen.value, YesNo) or seen.question.kind != "yes_no":
        return None
    return seen.value.yes == (seen.question.key != "lock.way_out")


def _not_locked(seen: Seen) -> list[Finding]:
    door = seen.door
    if _was_locked(seen) is not False or not door.may_be_kept_locked or door.kept_locked is False:
        return []
    why = "A door without a closer protects only while it is locked shut."
    source = seen.cites(
        "GOV.UK, fire door guidance: cupboard and riser doors not self-closing are kept locked shut"
        " (secondary)",
        _EXEMPT_AMERICAN,
    )
    do_now = "You may lock it yourself when you leave; tell the supervisor at once."
    return seen.finding("lock.unlocked", Severity.ACT_NOW, "was not locked", why, do_now, source)


def _locked(seen: Seen) -> str:
    """How it was said that a door is locked which may not be kept so; "" where it was not."""
    if seen.door.may_be_kept_locked:
        return ""
    if isinstance(seen.value, Choice):
        return "kept locked" if seen.value.chosen == Closer.KEPT_LOCKED else ""
    return "was locked" if _was_locked(seen) else ""


def _locked_way_out(seen: Seen) -> list[Finding]:
    locked = _locked(seen)
    if not locked or not seen.door.way_out:
        return []
    return locked_way_out(seen, "lock.way_out", f"{locked}, though people leave through it")


def locked_way_out(seen: Seen, rule: str, what: str) -> list[Finding]:
    """A way out that was locked: a danger of its own."""
    why = "A way out is never to be locked against those who leave."
    do_now = (
        "Unlock it now if you can, leave it so, and tell the supervisor at once. A competent person"
        " changes the lock."
    )
    source = seen.cites(_WAY_OUT, WAY_OUT_AMERICAN)
    return seen.finding(rule, Severity.ACT_NOW, what, why, do_now, source)


def _not_let_go(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, YesNo) or seen.value.yes:
        return []
    why = "The door stays open when the alarm sounds."
    do_now = (
        "Close the door by hand, leave it closed and tell the supervisor at once; a competent"
        " person puts the release right."
    )
    what = "not let go at the last alarm test"
    source = seen.cites(
        "BS EN 1155 and BS 7273-4 (secondary)", "NFPA 80, automatic-closing doors (from memory)"
    )
    return seen.finding("hold_open.alarm", Severity.ACT_NOW, what, why, do_now, source)


def _locked_instead(seen: Seen) -> list[Finding]:
    locked = _locked(seen)
    if not locked or seen.door.way_out:
        return []
    return seen.finding(
        "lock.not_allowed", Severity.SOON, locked, _ONLY_THESE, COMPETENT, _exempt(seen)
    )


def _locked_in_the_register(seen: Seen) -> list[Finding]:
    """Not locked, rightly, and then without what closes it, by the register."""
    door = seen.door
    if _was_locked(seen) is not False or door.may_be_kept_locked or not door.kept_locked:
        return []
    do_now = "Report it: the register is put right, or a competent person fits a closer."
    return seen.finding(
        "lock.register",
        Severity.SOON,
        "kept locked, by the register, and no closer",
        _ONLY_THESE,
        do_now,
        _exempt(seen),
    )


def _no_mark(seen: Seen) -> list[Finding]:
    if not isinstance(seen.value, YesNo) or seen.value.yes:
        return []
    why = "Clear glass without a mark may be ordinary glass, which breaks within minutes."
    return seen.finding("mark.unmarked", Severity.SOON, "no mark", why, COMPETENT, COMMON)


FITTING_RULES = (
    Rule(
        "hold_open.alarm",
        ("alarm_release",),
        "What is held open lets go on the alarm, and was seen to.",
        Severity.ACT_NOW,
        _not_let_go,
        Example(
            {"hold_open": "alarm-linked"},
            {"alarm_release": {"kind": "yes_no", "yes": False}},
            "not let go at the last alarm test",
        ),
        "BS EN 1155 and BS 7273-4 (secondary)",
        american="NFPA 80, automatic-closing doors (from memory)",
    ),
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
        _LOCK,
        "A cupboard, a riser or a plant room without a closer is kept locked shut.",
        Severity.ACT_NOW,
        _not_locked,
        Example(
            {"closer": "none, kept locked", "use": "riser"},
            {"lock": {"kind": "yes_no", "yes": False}},
            "was not locked",
        ),
        "GOV.UK, fire door guidance (secondary)",
        american=_EXEMPT_AMERICAN,
    ),
    Rule(
        "lock.way_out",
        ("register.closer", *_LOCK),
        "A door through which people leave is never locked against them.",
        Severity.ACT_NOW,
        _locked_way_out,
        Example(
            {"closer": "none, kept locked", "use": "stair"},
            {"lock.way_out": {"kind": "yes_no", "yes": False}},
            "was locked, though people leave through it",
        ),
        _WAY_OUT,
        american=WAY_OUT_AMERICAN,
    ),
    Rule(
        "lock.not_allowed",
        ("register.closer", *_LOCK),
        "Only a cupboard, a riser or a plant room is kept locked in place of a closer.",
        Severity.SOON,
        _locked_instead,
        Example(
            {"closer": "none, kept locked", "use": "office"},
            {"lock.way_out": {"kind": "yes_no", "yes": False}},
            "was locked",
        ),
        _EXEMPT,
        american=_EXEMPT_AMERICAN,
    ),
    Rule(
        "lock.register",
        _LOCK,
        "The register calls no door kept locked that may not be.",
        Severity.SOON,
        _locked_in_the_register,
        Example(
            {"closer": "none, kept locked", "use": "stair"},
            {"lock.way_out": {"kind": "yes_no", "yes": True}},
            "kept locked, by the register, and no closer",
        ),
        _EXEMPT,
        american=_EXEMPT_AMERICAN,
    ),
    Rule(
        "mark.unmarked",
        ("mark",),
        "Clear fire-resisting glass carries a mark.",
        Severity.SOON,
        _no_mark,
        Example(
            {"glazing": "clear fire-resisting"},
            {"mark": {"kind": "yes_no", "yes": False}},
            "no mark",
        ),
    ),
)
