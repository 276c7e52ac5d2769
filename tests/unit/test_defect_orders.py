"""What is ordered about a defect in the chat: given, made good, looked at, opened again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from unittest.mock import patch

import pytest
import small_visit as visit
from asked_logbook import LATER, ask, fill, text

from doorround.dialogue.photos import Photo
from doorround.domain.defects import DeedKind
from doorround.domain.people import Account
from doorround.domain.schedule.plan import Plan
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.people import People
from doorround.logbook.photos import keep_alone
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """See fill()."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        fill(logbook)
        yield logbook


def test_a_supervisor_gives_a_defect_to_somebody_who_is_told(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    told = ask(logbook, f"defect {defect.id}")
    assert told is not None
    assert told.say[0].taps == (
        "show door 14",
        f"give defect {defect.id} to Ines",
        f"give defect {defect.id} to Mona",
        f"defect {defect.id} made good",
    )
    assert re.fullmatch(rf"give defect {defect.id} to #\d+", told.say[0].does[1])
    assert text(logbook, told.say[0].does[1]).startswith(f"Ines now has defect {defect.id}")
    assert read_defects(logbook, Plan().defects).all[defect.id].given_to == "Ines"
    assert (
        text(logbook, f"give defect {defect.id} to Olu")
        == "Nobody called “olu” checks doors at that site."
    )
    assert (
        text(logbook, f"give defect {defect.id} to Mona", "Ines")
        == "Only its supervisors, or whoever has it, can do that."
    )


def test_made_good_is_asked_about_and_then_entered_by_who_has_it(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    assert text(logbook, f"defect {defect.id} made good", "Ines").startswith("Only its supervisors")
    act(logbook, defect, DeedKind.ASSIGNED, "Mona", visit.at(10), to="Ines")
    told = ask(logbook, f"defect {defect.id} made good", "Ines")
    assert told is not None and "what was done?" in told.say[0].text
    told = ask(logbook, told.say[0].taps[2], "Ines")
    assert (
        told is not None
        and "Is there a photo?" in told.say[0].text
        and read_defects(logbook, Plan().defects).open
    )
    assert "is noted as made good" in text(logbook, told.say[0].taps[1], "Ines")
    assert not read_defects(logbook, Plan().defects).open
    [deed] = read_defects(logbook, Plan().defects).all[defect.id].deeds[1:]
    assert (deed.text, deed.no_photo, deed.evidence) == (
        "part replaced",
        "a photo shows nothing of it",
        None,
    )
    assert (
        text(logbook, f"defect {defect.id} made good yes")
        == f"Defect {defect.id} is made good already."
    )


def test_a_photo_sent_by_itself_goes_with_what_was_made_good(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    keep_alone(logbook, Photo("ab" * 32, "", None), "Mona", LATER - timedelta(hours=2))
    assert "Is there a photo?" in text(
        logbook, f"defect {defect.id} made good: Latch eased, Ltd. part"
    )
    keep_alone(logbook, Photo("cd" * 32, "", None), "Ines", LATER)
    assert "Is there a photo?" in text(
        logbook, f"defect {defect.id} made good: Latch eased, Ltd. part"
    )
    keep_alone(logbook, Photo("ef" * 32, "", None), "Mona", LATER - timedelta(minutes=5))
    assert "Your last photo goes with it." in text(
        logbook, f"defect {defect.id} made good: Latch eased, Ltd. part"
    )
    [deed] = read_defects(logbook, Plan().defects).all[defect.id].deeds
    assert (deed.text, deed.evidence, deed.person) == ("Latch eased, Ltd. part", "ef" * 32, "Mona")


def test_somebody_else_looks_and_a_wrong_close_is_taken_back(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    text(logbook, f"defect {defect.id} made good: latch eased; no photo because it is too dark")
    assert (
        read_defects(logbook, Plan().defects).all[defect.id].deeds[0].no_photo == "it is too dark"
    )
    told = ask(logbook, f"defect {defect.id}")
    looked, reopen = f"look at defect {defect.id}", f"reopen defect {defect.id}"
    assert told is not None and told.say[0].taps == ("show door 14", looked, reopen)
    told = ask(logbook, f"defect {defect.id} looked at", "Ines")
    assert told is not None and "have you seen at the door" in told.say[0].text
    assert f"Defect {defect.id} is closed" in text(logbook, told.say[0].taps[0], "Ines")
    told = ask(logbook, f"reopen defect {defect.id}")
    assert told is not None and "why is it reopened?" in told.say[0].text
    assert text(logbook, f"reopen defect {defect.id}: It still slams", "Ines").startswith(
        "Only its supervisors"
    )
    assert (
        text(logbook, f"reopen defect {defect.id}: It still slams")
        == f"Defect {defect.id} is open again."
    )
    assert read_defects(logbook, Plan().defects).all[defect.id].deeds[-1].text == "It still slams"
    assert (
        text(logbook, f"reopen defect {defect.id}: twice") == f"Defect {defect.id} is open already."
    )
    assert text(logbook, "reopen defect 999: x") == "There is no defect 999 at your sites."


def test_whoever_gave_a_defect_hears_that_it_is_made_good(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Plan().defects).open
    text(logbook, f"give defect {defect.id} to Ines")
    account = Account("telegram", "Mona")
    with patch.object(People, "accounts", lambda people, name: [account] * (name == "Mona")):
        told = ask(
            logbook, f"defect {defect.id} made good: latch eased; no photo: too dark", "Ines"
        )
    assert told is not None
    line = f"Ines says that defect {defect.id} is made good: door 14, latch eased."
    assert [(each.account, each.say[0].text) for each in told.also] == [(account, line)]
