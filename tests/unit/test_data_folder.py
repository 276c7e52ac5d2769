"""What lies in the data folder is for one account alone, whatever the umask; what was open before
is tightened.
"""

import os
import stat

import pytest
import small_visit as visit
from typer.testing import CliRunner

from doorround.channels.talk.blob_store import keep_file
from doorround.cli.app import app
from doorround.config.data_folder import private_home, write_whole
from doorround.config.data_folder_lock import only_chat
from doorround.config.link_keys import load_keys
from doorround.config.settings import SettingsError, read_settings, read_telegram
from doorround.logbook.store import Logbook
from doorround.opened_logbook import open_logbook

pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights of files are those of POSIX")
TOKEN = '[telegram]\ntoken = "4711:abcdefgh"\n'


@pytest.fixture(autouse=True, params=[0o000, 0o022])
def umask(request):
    before = os.umask(request.param)
    yield
    os.umask(before)


def modes(home):
    """Rights of the folder and all in it, by name."""
    return {
        str(path.relative_to(home)): stat.S_IMODE(path.lstat().st_mode)
        for path in (home, *home.rglob("*"))
    }


def all_private(home):
    return [name for name, mode in modes(home).items() if mode & 0o077] == []


def test_a_new_home_is_for_its_owner_alone(tmp_path, capsys):
    home = tmp_path / "home"
    with open_logbook(read_settings({"DOORROUND_HOME": str(home)})) as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(0))
        keep_file(home / "recordings", "ab" * 32, b"a recording")
        keep_file(home / "photos", f"{'ab' * 32}.jpg", b"a photo")
        load_keys(home)
        assert {"logbook.db-wal", "logbook.db-shm", "recordings", "link-keys.json"} <= set(
            modes(home)
        )
        assert all_private(home), modes(home)
    assert capsys.readouterr().err == ""


def test_a_chat_makes_its_new_home_for_its_owner_alone(tmp_path):
    with only_chat(tmp_path / "home", "Ines"):
        assert all_private(tmp_path / "home")


def test_a_file_is_private_though_nothing_set_the_umask(tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    keep_file(home / "recordings", "ab" * 32, b"a recording")
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(0))
        assert [name for name, mode in modes(home).items() if mode & 0o077] == ["."]


def test_an_older_home_is_tightened_with_a_line_and_once(tmp_path, capsys):
    home = tmp_path / "home"
    (home / "recordings").mkdir(parents=True)
    for name in (
        "logbook.db",
        "logbook.db-wal",
        "doorround.toml",
        "words.toml",
        f"recordings/{'ab' * 32}",
        "notes.txt",
    ):
        (home / name).write_text("")
        (home / name).chmod(0o644)
    (home / "recordings").chmod(0o755)
    home.chmod(0o755)
    settings = read_settings({"DOORROUND_HOME": str(home)})
    open_logbook(settings).close()
    said = capsys.readouterr().err
    assert f"{home} was readable by others; now only this account can read it (7 changed)." in said
    assert [name for name, mode in modes(home).items() if mode & 0o077] == ["notes.txt"], (
        "no file of ours"
    )
    open_logbook(settings).close()
    assert capsys.readouterr().err == ""


def test_a_folder_that_is_not_ours_alone_keeps_its_rights(tmp_path, monkeypatch):
    home = tmp_path / "home"
    home.mkdir(mode=0o755)
    home.chmod(0o1777)
    assert private_home(home) is None and stat.S_IMODE(home.stat().st_mode) == 0o1777
    home.chmod(0o755)
    monkeypatch.setenv("HOME", str(home))
    (home / "logbook.db").write_text("")
    (home / "logbook.db").chmod(0o644)
    assert "1 changed" in (private_home(home) or "")
    assert (
        stat.S_IMODE(home.stat().st_mode) == 0o755
        and stat.S_IMODE((home / "logbook.db").stat().st_mode) == 0o600
    )


@pytest.mark.parametrize("mode", [0o644, 0o640, 0o604, 0o660])
def test_a_token_that_others_may_read_is_refused_with_what_to_do(tmp_path, mode):
    path = tmp_path / "elsewhere.toml"
    path.write_text(TOKEN)
    path.chmod(mode)
    given = {"DOORROUND_HOME": str(tmp_path / "home"), "DOORROUND_SETTINGS": str(path)}
    with pytest.raises(SettingsError, match=f"is readable by others. Run: chmod 600 {path}"):
        read_telegram(given)
    path.chmod(0o600)
    assert read_telegram(given).token == "4711:abcdefgh"


def test_settings_without_a_secret_may_be_read_by_anybody(tmp_path):
    path = tmp_path / "elsewhere.toml"
    path.write_text('zone = "UTC"\n')
    path.chmod(0o644)
    given = {"DOORROUND_HOME": str(tmp_path), "DOORROUND_SETTINGS": str(path)}
    assert (
        read_telegram({**given, "DOORROUND_TELEGRAM_TOKEN": "4711:abcdefgh"}).token
        == "4711:abcdefgh"
    )


def test_serve_refuses_an_open_token_in_one_line(tmp_path, monkeypatch):
    path = tmp_path / "elsewhere.toml"
    path.write_text(TOKEN)
    path.chmod(0o644)
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    done = CliRunner().invoke(app, ["serve", "--settings", str(path)])
    assert done.exit_code == 2 and f"chmod 600 {path}" in done.output and "4711" not in done.output


def test_a_file_written_whole_is_on_the_disk_before_it_takes_the_place_of_the_old(
    tmp_path, kept_by_the_disk
):
    words = tmp_path / "home" / "words.toml"
    write_whole(words, "one")
    write_whole(words, "other")
    assert kept_by_the_disk == [("words.new", 3), ("words.new", 5)]
    assert words.read_text(encoding="utf-8") == "other"
