"""Every setting: its name in the file, its variable, its meaning, its default."""

from __future__ import annotations

from dataclasses import dataclass

WITHOUT_VARIABLES = ("intervals", "reminders", "defects")
"""Tables whose settings have no variables."""


@dataclass(frozen=True)
class Setting:
    """table: of the file; "" for the top level. key: in that table. unset: the default.

    secret: never shown.
    """

    table: str
    key: str
    meaning: str
    unset: str
    secret: bool = False

    @property
    def name(self) -> str:
        """Dotted name, as people write it: "zone", "telegram.token"."""
        return f"{self.table}.{self.key}" if self.table else self.key

    @property
    def variable(self) -> str | None:
        """DOORROUND_ZONE, DOORROUND_TELEGRAM_TOKEN; None for a setting only in the file."""
        if self.table in WITHOUT_VARIABLES:
            return None
        return f"DOORROUND_{self.name.replace('.', '_').upper()}"


PLACES = (
    Setting("", "home", "folder of the logbook, recordings and photos", "`~/.doorround`"),
    Setting(
        "",
        "models",
        "folder of speech models",
        "`models/` of a checkout, else `models` in the home folder",
    ),
    Setting("", "backups", "target folder of `doorround backup`", "give it each time"),
)
BUILDING = (
    Setting("", "site", "site of doors added without one", "none"),
    Setting("", "zone", "time zone of the site, such as `Europe/London`", "`UTC`"),
    Setting(
        "",
        "rules",
        "rule set for sites that `rules.toml` does not name: `england-flats`, `uk-premises` or "
        "`nfpa-80`",
        "`uk-premises`",
    ),
    Setting(
        "",
        "gauges",
        "gauges you have besides a gap gauge: some of `stopwatch`, `force gauge`, `ruler`",
        "none; questions that need them are not asked",
    ),
)
HEARING = (
    Setting(
        "",
        "engine",
        "`auto`, `listeners`, `pair`, `listener`, `vosk` or `pocketsphinx`",
        "`auto`",
    ),
    Setting("", "longest_note", "seconds; longer recordings are refused", "`180`"),
    Setting(
        "",
        "voice",
        "speech synthesiser: `package` (the extra `aloud`), `off`, or a command that reads "
        "text and writes WAV, such as `espeak-ng --stdout`",
        "`package`",
    ),
)
KEEPING = (
    Setting(
        "",
        "keep_recordings",
        "days to keep a recording after its check was signed; then it is deleted, and its hash "
        "stays",
        "`90`",
    ),
    Setting(
        "",
        "keep_photos",
        "the same for photos, which are evidence",
        "photos are kept indefinitely",
    ),
)
TELEGRAM = (
    Setting("telegram", "token", "the bot's token from BotFather", "no bot on Telegram", True),
    Setting(
        "",
        "bot_name",
        "user name of the bot, for links printed by commands; `doorround serve` asks Telegram",
        "only the code is printed",
    ),
    Setting(
        "telegram",
        "base_url",
        "Bot API server, up to the token",
        "`https://api.telegram.org/bot`",
    ),
    Setting(
        "telegram",
        "base_file_url",
        "the same for files",
        "`https://api.telegram.org/file/bot`",
    ),
    Setting(
        "telegram",
        "webhook_url",
        "URL to which Telegram sends updates; we listen on its path",
        "the bot polls",
    ),
    Setting(
        "telegram",
        "webhook_secret",
        "secret that Telegram sends with each update: 16 to 256 letters, digits, `_` or `-`",
        "needed with a webhook",
        True,
    ),
    Setting(
        "telegram",
        "webhook_listen",
        "address on which we listen for the reverse proxy",
        "`127.0.0.1`",
    ),
    Setting("telegram", "webhook_port", "port on which we listen", "`8443`"),
)
INTERVALS = (
    Setting(
        "intervals",
        "rules",
        "law and guidance that apply here: a list of `flats in England over 11 m`, `NFPA 80`",
        "none",
    ),
    Setting(
        "intervals",
        "cupboard",
        "how often doors of one use are checked, such as `2 weeks`; likewise every other use. To "
        'override law or guidance: `{ every = "3 months", why = "…", by = "…" }`',
        "the list under *How often*",
    ),
    Setting(
        "intervals",
        "door R3",
        "how often one door is checked; `monthly` or a rule of RFC 5545",
        "by its use",
    ),
)
REMINDERS = (
    Setting("reminders", "nudge_at", "local time of the day's reminder", "`08:00`"),
    Setting("reminders", "summary_at", "local time of the supervisor's summary", "`16:00`"),
    Setting("reminders", "quiet_from", "start of the quiet hours", "`19:00`"),
    Setting("reminders", "quiet_until", "end of the quiet hours", "`07:00`"),
    Setting(
        "reminders",
        "days_off",
        "weekdays without reminders, a list",
        '`["saturday", "sunday"]`',
    ),
    Setting(
        "reminders",
        "country",
        "such as `GB`: its public holidays are days off",
        "no public holidays",
    ),
    Setting("reminders", "region", "part of the country, such as `ENG`", "the whole country"),
    Setting("reminders", "second_after", "days until the second reminder", "`2`"),
    Setting(
        "reminders",
        "supervisor_after",
        "days from that one until the supervisor is told",
        "`2`",
    ),
    Setting(
        "reminders",
        "retry_after",
        "days until a door without access is tried again",
        "`7`",
    ),
    Setting(
        "reminders",
        "escalate_after",
        "days past its date until the supervisor is told of a defect",
        "`3`",
    ),
    Setting(
        "reminders",
        "snooze_days",
        "maximum consecutive days for which somebody may snooze reminders",
        "`3`",
    ),
    Setting(
        "reminders",
        "out_after",
        "days after which a door out of action gets its own line instead of reminders",
        "`7`",
    ),
    Setting("reminders", "picture", "beside the summary: `light`, `dark`, `none`", "`light`"),
    Setting(
        "reminders",
        "danger_breaks_quiet",
        "`true`: dangers are also sent at night; `false`: after the quiet hours",
        "`true`",
    ),
    Setting(
        "reminders",
        "alerts_to_group",
        "`true`: dangers are also sent to the group bound to the site",
        "`false`",
    ),
    Setting(
        "reminders",
        "summary_to_group",
        "`true`: summaries too",
        "`false`",
    ),
)
DEFECTS = (
    Setting("defects", "act now", "days until each is dealt with", "`0`"),
    Setting("defects", "soon", "likewise", "`7`"),
    Setting("defects", "planned", "likewise", "`28`"),
    Setting("defects", "watch", "likewise", "looked at again at the next check"),
    Setting("defects", "look act now", "days after a repair until somebody looks at it", "`2`"),
    Setting("defects", "look soon", "likewise", "`7`"),
    Setting("defects", "look planned", "likewise", "`28`"),
    Setting("defects", "look watch", "likewise", "looked at during the next check"),
)
GROUPS = {
    "Places": PLACES,
    "The building": BUILDING,
    "Hearing and speaking": HEARING,
    "How long things are kept": KEEPING,
    "Telegram": TELEGRAM,
    "How often": INTERVALS,
    "Reminders": REMINDERS,
    "Defects": DEFECTS,
}
SETTINGS = tuple(setting for group in GROUPS.values() for setting in group)
