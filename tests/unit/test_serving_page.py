"""What stands ready for serving: the unit of systemd and docs/serving.md agree with commands,
settings and webhook.
"""

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import typer.main

from doorround.channels.telegram.transport.webhook import MAX_BODY, SECRET_HEADER, application
from doorround.cli.app import app
from doorround.config.settings import read_settings, read_telegram
from doorround.config.sources import ELSEWHERE, FILE, KEYS

TOP = Path(__file__).parents[2]
PAGE = (TOP / "docs" / "serving.md").read_text(encoding="utf-8")
UNIT = (TOP / "deploy" / "doorround.service").read_text(encoding="utf-8")


def unit():
    """Every value of each key of the unit, in order."""
    found = {}
    for line in UNIT.splitlines():
        if "=" in line and not line.startswith("#"):
            key, _, value = line.partition("=")
            found.setdefault(key, []).append(value)
    return found


def block(kind):
    return re.search(rf"^```{kind}\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)[1]


def webhook(tmp_path):
    path = tmp_path / "doorround.toml"
    path.write_text(block("toml"), encoding="utf-8")
    path.chmod(0o600)
    return read_telegram({"DOORROUND_SETTINGS": str(path)}).webhook


def test_the_unit_starts_a_command_that_exists_with_options_it_has():
    program, *words = unit()["ExecStart"][0].split()
    assert Path(program).name == "doorround"
    command = typer.main.get_command(app).commands[words[0]]
    assert set(words[1:]) <= {option for parameter in command.params for option in parameter.opts}


def test_the_unit_sets_what_is_a_setting_and_writes_where_it_may():
    given = dict(each.split("=", 1) for each in unit()["Environment"])
    ours = {name: value for name, value in given.items() if name.startswith("DOORROUND_")}
    assert set(ours) <= {f"DOORROUND_{key}" for key in (*KEYS, *ELSEWHERE)}
    settings = read_settings(ours)
    state = Path("/var/lib") / unit()["StateDirectory"][0]
    cache = Path("/var/cache") / unit()["CacheDirectory"][0]
    assert settings.home == state
    assert all(path.is_relative_to(state) for path in (settings.logbook, settings.recordings))
    assert given["MPLCONFIGDIR"] == str(cache)
    assert unit()["ProtectSystem"] == ["strict"] and unit()["StateDirectoryMode"] == ["0700"]


def test_the_unit_leaves_time_to_stop_and_the_workers_to_the_program():
    assert int(unit()["TimeoutStopSec"][0]) > 5
    assert unit()["KillMode"] == ["mixed"]


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="no systemd here")
def test_systemd_finds_nothing_to_say_about_the_unit(tmp_path):
    program = tmp_path / "doorround"
    program.symlink_to(sys.executable)
    path = tmp_path / "doorround.service"
    path.write_text(UNIT.replace(unit()["ExecStart"][0].split()[0], str(program)), encoding="utf-8")
    verified = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", str(path)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "SYSTEMD_COLORS": "0"},
    )
    assert (verified.returncode, verified.stderr) == (0, "")


def test_the_page_names_the_places_of_the_unit_and_the_settings():
    home = dict(each.split("=", 1) for each in unit()["Environment"])["DOORROUND_HOME"]
    assert f"{home}/{FILE}" in PAGE and f"DOORROUND_HOME={home}" in PAGE
    assert unit()["ExecStart"][0].split()[0] in PAGE
    assert f"useradd --system --home-dir {home} " in PAGE and f" {unit()['User'][0]}\n" in PAGE
    assert SECRET_HEADER in PAGE


def test_every_key_of_the_webhook_stands_on_the_page():
    keys = {key.lower() for key in KEYS if key.startswith("TELEGRAM_WEBHOOK_")}
    assert keys <= {f"telegram_{key}" for key in tomllib.loads(block("toml"))["telegram"]}


@pytest.mark.parametrize(
    ("proxy", "host", "path", "to"),
    (
        ("nginx", r"server_name (\S+);", r"location = (\S+) {", r"proxy_pass http://(\S+);"),
        ("caddy", r"^(\S+) {", r"handle (/\S+) {", r"reverse_proxy (\S+)"),
    ),
)
def test_each_proxy_passes_on_what_the_settings_beside_it_say(proxy, host, path, to, tmp_path):
    text = block(proxy)
    hook = webhook(tmp_path)
    told = [re.search(pattern, text, re.MULTILINE)[1] for pattern in (host, path, to)]
    url = urlsplit(hook.url)
    assert told == [url.hostname, url.path, f"{hook.listen}:{hook.port}"]
    assert application(hook, list).routes[0].path == told[1]
    most = re.search(r"(?:client_max_body_size|max_size) 1(m|MB)", text)
    assert most and MAX_BODY <= 1_000_000
