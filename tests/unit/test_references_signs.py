"""Published facts of signs and hold-open devices, each with its source."""

from __future__ import annotations

import pytest
from visits import CHECKLIST, NFPA, door

from doorround.domain.checklist import Checklist
from doorround.domain.door import Sign
from doorround.domain.findings import Finding
from doorround.domain.judging.judge import judge
from doorround.domain.values import Condition, Defect

TIMBER = door(material="timber")


# ---- Seals and signs: the rows about seals stand in test_rules.py


@pytest.mark.parametrize(
    ("fields", "sign", "beyond"),
    [
        # Approved Document B, appendix C (from memory)
        ({}, Sign.KEEP_SHUT, True),
        ({"closer": "none, kept locked", "use": "cupboard"}, Sign.KEEP_LOCKED, False),
        ({"hold_open": "alarm-linked"}, Sign.KEEP_CLEAR, True),
        ({"use": "flat entrance"}, Sign.NONE, False),
    ],
)
def test_each_kind_of_door_has_its_sign_on_the_right_faces(
    fields: dict[str, str], sign: Sign, beyond: bool
) -> None:
    fire_door = door(**fields)
    assert (fire_door.expected_sign, fire_door.sign_beyond) == (sign, beyond)
    assert fire_door.sign_here is (sign is not Sign.NONE)


def test_signs_say_what_the_door_needs() -> None:
    # Approved Document B, appendix C (from memory)
    assert Sign.KEEP_SHUT.value == "Fire door keep shut"
    assert Sign.KEEP_LOCKED.value == "Fire door keep locked shut"
    assert Sign.KEEP_CLEAR.value == "Automatic fire door keep clear"


def named(key: str, fault: str, checklist: Checklist = CHECKLIST) -> Finding:
    (finding,) = judge(
        TIMBER, checklist.ask(key), Condition(defects=(Defect(name=fault),)), checklist
    )
    return finding


def test_signs_cover_not_more_than_5_percent_of_the_door_face() -> None:
    finding = named("sign.here", "too_big", NFPA)
    assert finding.why == "Signs may cover no more than a twentieth of the face."
    assert finding.source.startswith(
        "NFPA 80, 4.1.4: not more than 5 % of the door face (from memory)"
    )


@pytest.mark.parametrize(("key", "fault"), [("clear", "fixed"), ("hold_open", "not_releasing")])
def test_only_a_device_that_releases_on_the_fire_alarm_holds_a_door_open(
    key: str, fault: str
) -> None:
    finding = named(key, fault)
    assert (finding.severity, finding.source) == ("act now", "BS EN 1155 and BS 7273-4 (secondary)")
