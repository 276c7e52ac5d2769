"""Hold-open devices, locks, glass marks."""

from __future__ import annotations

from doorround.domain.door import Closer, HoldOpen, Use
from doorround.domain.findings import Finding
from doorround.domain.judging.rule import COMPETENT, Example, JudgedAnswer, Rule
from doorround.domain.judging.rule_set import COMMON
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Choice, Condition, YesNo


def _acoustic(answer: JudgedAnswer) -> list[Finding]:
    if not isinstance(answer.value, Condition) or answer.door.hold_open is not HoldOpen.ACOUSTIC:
        return []
    if answer.door.use not in (Use.STAIR, None):
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
    where = "a stair door" if answer.door.use else "a door that may be of a stair"
    return answer.finding(
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


def _exempt(answer: JudgedAnswer) -> str:
    return answer.cites(_EXEMPT, _EXEMPT_AMERICAN)


def _was_locked(answer: JudgedAnswer) -> bool | None:
    """Whether it was found locked; None if not reported."""
    if not isinstance(answer.value, YesNo) or answer.question.kind != "yes_no":
        return None
    return answer.value.yes == (answer.question.key != "lock.way_out")


def _not_locked(answer: JudgedAnswer) -> list[Finding]:
    door = answer.door
    if _was_locked(answer) is not False or not door.may_be_kept_locked or door.kept_locked is False:
        return []
    why = "A door without a closer protects only while it is locked shut."
    source = answer.cites(
        "GOV.UK, fire door guidance: cupboard and riser doors not self-closing are kept locked shut"
        " (secondary)",
        _EXEMPT_AMERICAN,
    )
    do_now = "You may lock it yourself when you leave; tell the supervisor at once."
    return answer.finding("lock.unlocked", Severity.ACT_NOW, "was not locked", why, do_now, source)


def _locked(answer: JudgedAnswer) -> str:
    """How it was reported that a door is locked that may not be; "" if it was not."""
    if answer.door.may_be_kept_locked:
        return ""
    if isinstance(answer.value, Choice):
        return "kept locked" if answer.value.chosen == Closer.KEPT_LOCKED else ""
    return "was locked" if _was_locked(answer) else ""


def _locked_way_out(answer: JudgedAnswer) -> list[Finding]:
    locked = _locked(answer)
    if not locked or not answer.door.way_out:
        return []
    return locked_way_out(answer, "lock.way_out", f"{locked}, though people leave through it")


def locked_way_out(answer: JudgedAnswer, rule: str, what: str) -> list[Finding]:
    """A locked escape route: a danger of its own."""
    why = "A way out is never to be locked against those who leave."
    do_now = (
        "Unlock it now if you can, leave it so, and tell the supervisor at once. A competent person"
        " changes the lock."
    )
    source = answer.cites(_WAY_OUT, WAY_OUT_AMERICAN)
    return answer.finding(rule, Severity.ACT_NOW, what, why, do_now, source)


def _not_let_go(answer: JudgedAnswer) -> list[Finding]:
    if not isinstance(answer.value, YesNo) or answer.value.yes:
        return []
    why = "The door stays open when the alarm sounds."
    do_now = (
        "Close the door by hand, leave it closed and tell the supervisor at once; a competent"
        " person puts the release right."
    )
    what = "not let go at the last alarm test"
    source = answer.cites(
        "BS EN 1155 and BS 7273-4 (secondary)", "NFPA 80, automatic-closing doors (from memory)"
    )
    return answer.finding("hold_open.alarm", Severity.ACT_NOW, what, why, do_now, source)


def _locked_instead(answer: JudgedAnswer) -> list[Finding]:
    locked = _locked(answer)
    if not locked or answer.door.way_out:
        return []
    return answer.finding(
        "lock.not_allowed", Severity.SOON, locked, _ONLY_THESE, COMPETENT, _exempt(answer)
    )


def _locked_in_the_register(answer: JudgedAnswer) -> list[Finding]:
    """Rightly not locked, but without a closer according to the register."""
    door = answer.door
    if _was_locked(answer) is not False or door.may_be_kept_locked or not door.kept_locked:
        return []
    do_now = "Report it: the register is put right, or a competent person fits a closer."
    return answer.finding(
        "lock.register",
        Severity.SOON,
        "kept locked, by the register, and no closer",
        _ONLY_THESE,
        do_now,
        _exempt(answer),
    )


def _no_mark(answer: JudgedAnswer) -> list[Finding]:
    if not isinstance(answer.value, YesNo) or answer.value.yes:
        return []
    why = "Clear glass without a mark may be ordinary glass, which breaks within minutes."
    return answer.finding("mark.unmarked", Severity.SOON, "no mark", why, COMPETENT, COMMON)


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
