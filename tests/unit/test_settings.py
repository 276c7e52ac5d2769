"""Settings: every one in the file and as a variable, the variable wins, and what is wrong says what
to write.
"""

import re
from pathlib import Path

import pytest

from doorround.config.schedule_settings import _READ
from doorround.config.settings import read_settings, read_telegram
from doorround.config.sources import KEYS, SettingsError
from doorround.domain.judging.severity import Targets

TOP = Path(__file__).parents[2]
REFERENCE = (TOP / "docs" / "reference.md").read_text(encoding="utf-8")
TABLE_KEYS = {
    "intervals": ("rules", "cupboard", "door R3"),
    "reminders": tuple(_READ),
    "defects": [field.replace("_", " ") for field in Targets.model_fields],
}

# of each setting: a value, where it ends up, and what it is then
GOOD = {
    "HOME": ("{tmp}/else", lambda s, t: str(s.home), "{tmp}/else"),
    "MODELS": ("{tmp}/speech", lambda s, t: str(s.models), "{tmp}/speech"),
    "ZONE": ("Europe/London", lambda s, t: s.zone, "Europe/London"),
    "ENGINE": ("listener", lambda s, t: s.engine, "listener"),
    "LONGEST_NOTE": ("60", lambda s, t: s.longest_note_s, 60.0),
    "KEEP_RECORDINGS": ("30", lambda s, t: s.keep_recordings_days, 30),
    "KEEP_PHOTOS": ("400", lambda s, t: s.keep_photos_days, 400),
    "BOT_NAME": ("@alder_doors_bot", lambda s, t: s.bot_name, "alder_doors_bot"),
    "SITE": ("Lantern House", lambda s, t: s.site, "Lantern House"),
    "RULES": ("nfpa-80", lambda s, t: s.rules, "nfpa-80"),
    "GAUGES": ("ruler, stopwatch", lambda s, t: s.gauges, ("ruler", "stopwatch")),
    "BACKUPS": ("{tmp}/copies", lambda s, t: str(s.backups), "{tmp}/copies"),
    "VOICE": ("off", lambda s, t: s.voice, "off"),
    "TELEGRAM_TOKEN": ("12:abcdefghij", lambda s, t: t.token, "12:abcdefghij"),
    "TELEGRAM_BASE_URL": (
        "http://10.0.0.1:8081/bot",
        lambda s, t: t.base_url,
        "http://10.0.0.1:8081/bot",
    ),
    "TELEGRAM_BASE_FILE_URL": (
        "http://10.0.0.1:8081/file/bot",
        lambda s, t: t.base_file_url,
        "http://10.0.0.1:8081/file/bot",
    ),
    "TELEGRAM_WEBHOOK_URL": (
        "https://doors.example.org/in",
        lambda s, t: t.webhook.url,
        "https://doors.example.org/in",
    ),
    "TELEGRAM_WEBHOOK_SECRET": (
        "abcdefghijklmnopq",
        lambda s, t: t.webhook.secret,
        "abcdefghijklmnopq",
    ),
    "TELEGRAM_WEBHOOK_LISTEN": ("0.0.0.0", lambda s, t: t.webhook.listen, "0.0.0.0"),
    "TELEGRAM_WEBHOOK_PORT": ("9000", lambda s, t: t.webhook.port, 9000),
}
NEEDED = {
    "TELEGRAM_TOKEN": "4711:abcdefgh",
    "TELEGRAM_WEBHOOK_URL": "https://example.org/w",
    "TELEGRAM_WEBHOOK_SECRET": "sixteen_or_more_",
}


def file_of(values):
    """The settings as TOML; the keys of Telegram in their table."""
    lines = [
        f'{key.lower()} = "{value}"'
        for key, value in values.items()
        if not key.startswith("TELEGRAM_")
    ]
    of_telegram = {
        key.removeprefix("TELEGRAM_"): value
        for key, value in values.items()
        if key.startswith("TELEGRAM_")
    }
    return "\n".join(
        [
            *lines,
            "[telegram]",
            *(f'{key.lower()} = "{value}"' for key, value in of_telegram.items()),
        ]
    )


def test_every_setting_is_tried_here():
    assert set(GOOD) == set(KEYS)


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("in_file", (True, False))
def test_a_setting_arrives_from_the_file_and_from_its_variable(key, in_file, tmp_path):
    value, found, wanted = GOOD[key]
    value = value.format(tmp=tmp_path)
    wanted = wanted.format(tmp=tmp_path) if isinstance(wanted, str) else wanted
    path = tmp_path / "settings.toml"
    path.write_text(file_of({**NEEDED, key: value} if in_file else NEEDED), encoding="utf-8")
    path.chmod(0o600)
    given = {"DOORROUND_SETTINGS": str(path)} | ({} if in_file else {f"DOORROUND_{key}": value})
    assert found(read_settings(given), read_telegram(given)) == wanted


def test_the_variable_wins_over_the_file(tmp_path):
    (tmp_path / "doorround.toml").write_text('zone = "Europe/London"', encoding="utf-8")
    home = {"DOORROUND_HOME": str(tmp_path)}
    assert read_settings(home).zone == "Europe/London"
    assert read_settings({**home, "DOORROUND_ZONE": "Europe/Paris"}).zone == "Europe/Paris"


@pytest.mark.parametrize("key", KEYS)
def test_every_setting_stands_in_the_reference(key):
    assert re.search(rf"^\| .*`DOORROUND_{key}`", REFERENCE, re.MULTILINE), key


def test_every_key_of_the_tables_stands_in_the_reference():
    for table, keys in TABLE_KEYS.items():
        for key in keys:
            assert re.search(rf'^\| `"?{key}"?` in `\[{table}\]`', REFERENCE, re.MULTILINE), key


def test_every_variable_that_anything_reads_stands_in_the_reference():
    names = set()
    for folder in (
        "bot",
        "scripts",
        "tests/telegram",
        "tests/audio",
        "tests/benchmarks",
        "deploy",
        "docs",
    ):
        for path in (TOP / folder).rglob("*"):
            if path.suffix in (".py", ".md", ".service"):
                names |= set(
                    re.findall(r"DOORROUND_[A-Z_]*[A-Z]\b(?!_)", path.read_text(encoding="utf-8"))
                )
    assert len(names) > 10
    for name in names:
        assert f"`{name}`" in REFERENCE, name


BAD = {
    "ZONE": "Alder/House",
    "ENGINE": "ears",
    "LONGEST_NOTE": "long",
    "KEEP_RECORDINGS": "0",
    "KEEP_PHOTOS": "ever",
    "TELEGRAM_TOKEN": "abc",
    "TELEGRAM_BASE_URL": "api",
    "TELEGRAM_BASE_FILE_URL": "ftp://x",
    "TELEGRAM_WEBHOOK_URL": "doors.example.org",
    "TELEGRAM_WEBHOOK_SECRET": "short",
    "TELEGRAM_WEBHOOK_PORT": "70000",
}


@pytest.mark.parametrize("key", BAD)
def test_a_value_that_cannot_be_used_names_its_setting_and_never_shows_a_secret(key, tmp_path):
    given = {
        f"DOORROUND_{name}": value
        for name, value in {**NEEDED, "HOME": str(tmp_path), key: BAD[key]}.items()
    }
    with pytest.raises(SettingsError, match=f"DOORROUND_{key}") as refused:
        read_settings(given), read_telegram(given)
    if "TOKEN" in key or "SECRET" in key:
        assert f'"{BAD[key]}"' not in str(refused.value)


@pytest.mark.parametrize(
    ("text", "name", "near"),
    (
        ('zoen = "UTC"', "zoen", "zone"),
        ('[telegram]\ntokn = "1:abcdefgh"', "telegram.tokn", "telegram.token"),
        ('[telgram]\ntoken = "1:abcdefgh"', "telgram.token", "telegram.token"),
        ('[reminders]\nnudge_et = "08:00"', "nudge_et", "nudge_at"),
        ("[defects]\nplaned = 3", "planed", "planned"),
    ),
)
def test_an_unknown_name_is_refused_with_the_nearest_that_is_one(text, name, near, tmp_path):
    path = tmp_path / "doorround.toml"
    path.write_text(text, encoding="utf-8")
    wanted = f'there is no setting "{name}". Is “{near}” meant?'
    with pytest.raises(SettingsError, match=re.escape(wanted)) as refused:
        read_settings({"DOORROUND_HOME": str(tmp_path)})
    assert str(path) in str(refused.value)


def test_a_variable_that_is_no_setting_is_refused(tmp_path):
    with pytest.raises(SettingsError, match=r"DOORROUND_ZOEN.*DOORROUND_ZONE"):
        read_settings({"DOORROUND_HOME": str(tmp_path), "DOORROUND_ZOEN": "Europe/London"})


def test_a_file_that_is_no_toml_says_where_it_breaks(tmp_path):
    (tmp_path / "doorround.toml").write_text("zone = Europe", encoding="utf-8")
    with pytest.raises(SettingsError, match=r"doorround\.toml cannot be read.*line 1"):
        read_settings({"DOORROUND_HOME": str(tmp_path)})


def test_a_file_too_deep_to_read_says_so_in_one_sentence(tmp_path):
    (tmp_path / "mine.toml").write_text("x = " + "[" * 30 + "]" * 30, encoding="utf-8")
    with pytest.raises(SettingsError, match=r"mine\.toml cannot be read: mine\.toml: .*20\.$"):
        read_settings({"DOORROUND_SETTINGS": str(tmp_path / "mine.toml")})


def test_a_settings_file_that_was_named_must_be_there(tmp_path):
    with pytest.raises(SettingsError, match=r"mine\.toml cannot be read"):
        read_settings({"DOORROUND_SETTINGS": str(tmp_path / "mine.toml")})


def test_a_webhook_needs_a_secret(tmp_path):
    given = {"DOORROUND_HOME": str(tmp_path), "DOORROUND_TELEGRAM_TOKEN": "4711:abcdefgh"}
    with pytest.raises(SettingsError, match="DOORROUND_TELEGRAM_WEBHOOK_SECRET"):
        read_telegram({**given, "DOORROUND_TELEGRAM_WEBHOOK_URL": "https://example.org/w"})


def test_no_secret_is_shown_where_the_options_are(tmp_path):
    given = {f"DOORROUND_{name}": value for name, value in NEEDED.items()} | {
        "DOORROUND_HOME": str(tmp_path)
    }
    shown = repr(read_telegram(given))
    assert "abcdefgh" not in shown
    assert "sixteen" not in shown
