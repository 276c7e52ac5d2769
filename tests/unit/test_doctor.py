"""doorround doctor: each thing that can be wrong is found and comes with what to do."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread
from typing import Any, ClassVar, NamedTuple

import pytest
import small_visit as visit
from small_visit import raw
from typer.testing import CliRunner

from doorround.cli import doctor_machine, doctor_parts, doctor_telegram
from doorround.cli.app import app
from doorround.cli.doctor_result import DoctorResult, ResultState
from doorround.config.settings import Settings, read_settings
from doorround.logbook.backup import back_up
from doorround.logbook.store import Logbook

NOW = datetime(2026, 11, 30, 9, 0, tzinfo=UTC)
TOKEN = "4711:abcdefgh"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(visit.door("14"), "Mona", datetime.now(UTC))
    return home


@pytest.fixture
def settings(home: Path, tmp_path: Path) -> Settings:
    given = {"HOME": str(home), "ZONE": "Europe/London", "BACKUPS": str(tmp_path / "copies")}
    return read_settings({f"DOORROUND_{key}": value for key, value in given.items()})


def one(found: Iterator[DoctorResult] | list[DoctorResult]) -> DoctorResult:
    [result] = found
    return result


def test_what_is_in_order_is_called_so(settings: Settings) -> None:
    back_up(settings.home, settings.backups, NOW)
    found = [
        doctor_machine.python_version(),
        doctor_machine.clock(NOW),
        doctor_machine.data_folder(settings.home),
        doctor_machine.disk_space(settings.home),
        doctor_parts.time_zone(settings),
        one(doctor_parts.logbook(settings)),
        doctor_parts.backups(settings, NOW),
    ]
    assert [each for each in found if each.state is not ResultState.OK] == []


def test_a_clock_without_a_battery_is_found() -> None:
    found = doctor_machine.clock(datetime(1970, 1, 1, 0, 5, tzinfo=UTC))
    assert found.state is ResultState.PROBLEM and found.to_do.startswith("Set the clock")


class Usage(NamedTuple):
    total: int
    used: int
    free: int


@pytest.mark.parametrize(
    ("free", "state"),
    [(10**8, ResultState.PROBLEM), (10**9, ResultState.WARNING), (10**10, ResultState.OK)],
)
def test_a_disk_that_runs_full_is_found(
    free: int, state: ResultState, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda path: Usage(10**11, 0, free))
    assert doctor_machine.disk_space(home / "not" / "there" / "yet").state is state


@pytest.mark.skipif(os.name != "posix", reason="rights of POSIX")
def test_a_folder_that_others_may_read_is_found(home: Path) -> None:
    (home / "logbook.db").chmod(0o644)
    found = doctor_machine.data_folder(home)
    assert found.state is ResultState.PROBLEM
    assert found.to_do == f"Run: chmod go= {home / 'logbook.db'}"


def test_a_data_folder_that_is_none_or_not_there_is_found(home: Path) -> None:
    assert doctor_machine.data_folder(home / "logbook.db").state is ResultState.PROBLEM
    missing = doctor_machine.data_folder(home / "gone")
    assert (missing.state, missing.to_do) == (ResultState.WARNING, "Run: doorround init")


def test_a_changed_entry_and_a_damaged_file_are_found(settings: Settings) -> None:
    change = "UPDATE entries SET person = 'Eve' WHERE seq = 1"
    raw(settings.logbook, "DROP TRIGGER entries_never_change", change)
    found = list(doctor_parts.logbook(settings))
    assert {each.state for each in found} == {ResultState.PROBLEM}
    assert any("entry 1" in each.found or "entries_never_change" in each.found for each in found)
    settings.logbook.write_text("number,floor\n" * 500)
    found = list(doctor_parts.logbook(settings))
    assert found[0].state is ResultState.PROBLEM and "backup" in found[0].to_do


def test_a_lost_recording_is_found(settings: Settings) -> None:
    settings.recordings.mkdir()
    (settings.recordings / ("0" * 64)).write_bytes(b"not what its name says")
    assert "is not as it was kept" in one(doctor_parts.logbook(settings)).found


def test_backups_that_are_missing_or_old_are_found(settings: Settings) -> None:
    nowhere = read_settings({"DOORROUND_HOME": str(settings.home)})
    assert doctor_parts.backups(nowhere, NOW).state is ResultState.WARNING
    assert doctor_parts.backups(settings, NOW).state is ResultState.PROBLEM
    back_up(settings.home, settings.backups, NOW - timedelta(days=9))
    old = doctor_parts.backups(settings, NOW)
    assert old.state is ResultState.PROBLEM and old.found.endswith("9 days ago")


def test_a_voice_command_that_is_not_there_is_found(home: Path) -> None:
    given = {"DOORROUND_HOME": str(home), "DOORROUND_VOICE": "no-such-voice --stdout"}
    found = doctor_parts.reading_aloud(read_settings(given))
    assert found.state is ResultState.PROBLEM and "no-such-voice" in found.found


def test_every_wrong_setting_is_told(home: Path) -> None:
    (home / "doorround.toml").write_text('zone = "Alder"\nengine = "ears"\n', encoding="utf-8")
    found = list(doctor_parts.settings_file({"DOORROUND_HOME": str(home)}))
    assert [each.state for each in found] == [ResultState.PROBLEM] * 2


class BotApi(BaseHTTPRequestHandler):
    """Answers as Telegram's Bot API does to these two methods."""

    hook: ClassVar[dict[str, Any]] = {"url": ""}

    def do_GET(self) -> None:
        known = self.path.startswith(f"/bot{TOKEN}/")
        result: Any = {"username": "alder_bot"} if self.path.endswith("getMe") else self.hook
        body = json.dumps({"ok": known, "result": result if known else None}).encode()
        self.send_response(200 if known else 401)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: Any) -> None:
        pass


@pytest.fixture
def server() -> Iterator[str]:
    server = HTTPServer(("127.0.0.1", 0), BotApi)
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/bot"
    server.shutdown()
    server.server_close()


def telegram(home: Path, url: str, token: str = TOKEN, **more: str) -> list[DoctorResult]:
    given = {"HOME": str(home), "TELEGRAM_TOKEN": token, "TELEGRAM_BASE_URL": url, **more}
    environment = {f"DOORROUND_{key}": value for key, value in given.items()}
    return list(doctor_telegram.telegram(environment, online=True))


def test_the_token_is_asked_of_the_server(home: Path, server: str) -> None:
    assert one(telegram(home, server)).found == "the token is that of @alder_bot"
    unknown = one(telegram(home, server, token="4712:abcdefgh"))
    assert unknown.state is ResultState.PROBLEM and "BotFather" in unknown.to_do


def test_a_server_that_does_not_answer_is_found_and_the_token_not_shown(home: Path) -> None:
    found = one(telegram(home, "http://127.0.0.1:9/bot"))
    assert found.state is ResultState.PROBLEM and "does not answer" in found.found
    assert "abcdefgh" not in found.found


def test_a_webhook_that_goes_elsewhere_or_fails_is_found(
    home: Path, server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    error = {"last_error_message": "Connection refused"}
    monkeypatch.setattr(BotApi, "hook", {"url": "https://old.example.org/in", **error})
    _, elsewhere, failed = telegram(home, server)
    assert "https://old.example.org/in, should be polling" in elsewhere.found
    assert "Connection refused" in failed.found and "docs/serving.md" in failed.to_do


def test_without_a_token_nothing_is_asked(home: Path) -> None:
    found = one(doctor_telegram.telegram({"DOORROUND_HOME": str(home)}, online=True))
    assert found.state is ResultState.OK


def test_the_command_tells_all_and_its_exit_code_says_whether_to_mend(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    said = CliRunner().invoke(app, ["doctor", "--offline", "--json"])
    rows = [json.loads(line) for line in said.stdout.splitlines()]
    assert said.exit_code == 0, said.output
    assert {tuple(row) for row in rows} == {("check", "state", "found", "to_do")}
    names = ["doorround", "Python", "clock", "settings", "data folder", "disk", "time zone"]
    assert [row["check"] for row in rows][:7] == names
    assert all(row["to_do"] for row in rows if row["state"] != "ok")
    monkeypatch.setenv("DOORROUND_VOICE", "no-such-voice")
    monkeypatch.setenv("DOORROUND_ENGINE", "pocketsphinx")
    plain = CliRunner().invoke(app, ["doctor", "--offline"])
    assert plain.exit_code == 1
    assert "problem  reading aloud" in plain.stdout
    assert " checked: 1 to fix, " in plain.stdout.splitlines()[-1]
