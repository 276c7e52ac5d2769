"""The caution stands in every summary and every document that leaves the program."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import visits as visit
from PIL import Image
from typer.testing import CliRunner
from visits import CORRIDOR, Visit

from doorround.cli.app import app
from doorround.domain.defects import Defect
from doorround.domain.judging.judge import judge
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.plan import Plan
from doorround.domain.values import Condition
from doorround.domain.values import Defect as Fault
from doorround.logbook.store import Logbook
from doorround.messages.alerts import alert_text, reported_text
from doorround.messages.summaries import CAUTION, SHORT_CAUTION
from doorround.reminders.summaries import body_of
from doorround.reports import chart
from doorround.reports.labels import SIZES, DoorLabel, label_sheets, plate_svg
from doorround.reports.summary import Frequency, report

CHECK_CAUTION = visit.CHECKLIST.caution
DAY = date(2026, 3, 2)
WEDGED = Condition(defects=(Fault(name="wedged"),))


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def logbook(home: Path) -> Iterator[Logbook]:
    with Logbook.open(home / "logbook.db") as logbook:
        yield logbook


def run(*words: object) -> str:
    result = CliRunner().invoke(app, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    return result.output


def test_a_check_says_it_before_its_first_question_and_after_a_signature_with_defects() -> None:
    check = Visit(CORRIDOR)
    assert CHECK_CAUTION in check.said
    check.type("wedged open")
    check.all_well()
    check.type("finish check")
    assert check.said[-1] == CHECK_CAUTION


@pytest.mark.parametrize("every", list(Frequency))
def test_every_summary_ends_with_it_printed_and_sent(logbook: Logbook, every: Frequency) -> None:
    assert run("summary", "--on", DAY, "--every", every).rstrip().endswith(CAUTION)
    made = report(logbook, Plan(), every, DAY, None)
    assert body_of(made, Plan()).text.endswith(CAUTION)


def test_a_picture_shows_it_and_holds_it(logbook: Logbook, monkeypatch: pytest.MonkeyPatch) -> None:
    written: list[str] = []
    write = chart._Page.write

    def kept(page: Any, top: int, text: str, *more: Any, **named: Any) -> None:
        written.append(text)
        write(page, top, text, *more, **named)

    monkeypatch.setattr(chart._Page, "write", kept)
    drawn = chart.draw(report(logbook, Plan(), Frequency.WEEK, DAY, None).figures)
    assert written[-1] == SHORT_CAUTION
    assert Image.open(io.BytesIO(drawn)).info["Description"] == CAUTION


def test_labels_and_plates_hold_it_where_it_does_not_show() -> None:
    label = DoorLabel("12", "stair", "Alder House", "https://example.org/d/1")
    [sheet] = [label_sheets([label], SIZES["a4-24"])]
    assert CAUTION.encode() in sheet or CAUTION.encode("utf-16-be") in sheet
    assert CAUTION in plate_svg(label)


def test_a_judgement_ends_with_it_for_people_and_for_programs(home: Path) -> None:
    file = home / "door.toml"
    file.write_text('[answers]\nclear = "wedged"\n')
    assert run("judge", file).rstrip().endswith(CHECK_CAUTION)
    assert json.loads(run("judge", file, "--json"))["limit"] == CHECK_CAUTION


def test_rules_listed_and_shown_have_it(home: Path) -> None:
    assert run("rules", "list").rstrip().endswith(CHECK_CAUTION)
    for key in ("gaps.too_wide", "clear.wedged", "nfpa-80"):
        assert CHECK_CAUTION in run("rules", "show", key)
        assert json.loads(run("rules", "show", key, "--json"))["caution"] == CHECK_CAUTION


def test_what_is_kept_of_a_person_is_given_with_it(logbook: Logbook) -> None:
    logbook.add_person("Ines", "caretaker", datetime(2026, 3, 2, 9, tzinfo=UTC))
    assert json.loads(run("people", "data", "Ines"))["caution"] == CAUTION


def test_a_door_shown_and_a_list_of_defects_end_with_it(home: Path, logbook: Logbook) -> None:
    logbook.add_door(CORRIDOR, "Robin", datetime(2026, 3, 2, 9, tzinfo=UTC))
    assert run("doors", "show", 12).rstrip().endswith(CAUTION)
    assert json.loads(run("doors", "show", 12, "--json"))["caution"] == CAUTION
    assert run("defects", "list").splitlines() == ["No defects are open.", CAUTION]


def test_a_danger_told_at_once_ends_with_it_confirmed_or_not() -> None:
    [wedged] = judge(CORRIDOR, visit.ask("clear"), WEDGED, visit.CHECKLIST)
    found = Defect(7, ("", "", "12"), wedged, Severity.ACT_NOW, DAY, DAY, None, seen_by="Robin")
    assert alert_text(found, CORRIDOR, "12:00").endswith(SHORT_CAUTION)
    assert reported_text(wedged, CORRIDOR, "Robin", "12:00").endswith(SHORT_CAUTION)
