"""doorround serve: the bot on Telegram."""

from __future__ import annotations

import secrets
import sys
from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING, Any

from doorround.cli.cli_errors import cli_errors
from doorround.cli.options import ChecklistName
from doorround.cli.settings import File, environment_with

if TYPE_CHECKING:
    from doorround.channels.messenger.access import Access
    from doorround.channels.telegram.serve.service import TelegramService
    from doorround.channels.telegram.wire.options import TelegramOptions
    from doorround.config.settings import Settings
    from doorround.domain.schedule.plan import Plan
    from doorround.hearing.session.worker_pool import Pool
    from doorround.logbook.store import Logbook


def serve(
    settings_file: File = None,
    checklist: ChecklistName = "routine",
) -> None:
    """Serve the bot on Telegram until it is stopped by Ctrl-C or SIGTERM.

    Nothing that was sent is lost by stopping.
    """
    with cli_errors():
        given = environment_with(settings_file)
        _tell_private(given)
        _serve(given, checklist)


def _tell_private(given: dict[str, str]) -> None:
    """Before reading the token, which may be in the data folder."""
    from doorround.config.settings import read_settings
    from doorround.opened_logbook import tell_private

    tell_private(read_settings(given).home)


def _serve(given: dict[str, str], checklist: str) -> None:
    from doorround.channels.telegram.serve import service
    from doorround.channels.telegram.transport.client import log_to_stderr
    from doorround.config.data_folder_lock import only_service
    from doorround.config.schedule_settings import read_plan
    from doorround.config.settings import read_settings, read_telegram
    from doorround.logbook.fault_report import tell_faults
    from doorround.opened_logbook import open_logbook
    from doorround.wiring import load_understanding, make_pool

    settings, options, plan = read_settings(given), read_telegram(given), read_plan(given)
    log_to_stderr(options.token)
    with only_service(settings.home), open_logbook(settings) as logbook:
        tell_faults(logbook.verify(), sys.stderr)
        load_understanding()
        make = _service_maker(logbook, settings, options, plan, checklist)
        _run(service.serve(make, make_pool(settings)))


def _service_maker(
    logbook: Logbook, settings: Settings, options: TelegramOptions, plan: Plan, checklist: str
) -> Callable[[Pool], TelegramService]:
    """Factory for the service, given a recognition pool."""
    from doorround.channels.messenger.inbound.invited_access import InvitedAccess
    from doorround.channels.messenger.retention import KeepingDays
    from doorround.channels.telegram.serve.service import TelegramService
    from doorround.hearing.session.worker_pool import WAITING, WORKERS
    from doorround.reminders.ticker import Ticker
    from doorround.wiring import load_ruled_checklist, make_served_talk, make_spoken

    asked = load_ruled_checklist(checklist, settings, plan.defects)
    ticker = Ticker(logbook, plan)
    talk = make_served_talk(logbook, settings, asked, plan, ticker.alerts)
    people = _access(logbook, settings, plan)

    def make(pool: Pool) -> TelegramService:
        return TelegramService(
            options=options,
            logbook=logbook,
            pool=pool,
            talk=talk,
            places=WORKERS + WAITING,
            access_policy=InvitedAccess(people),
            kept=KeepingDays(
                settings.recordings, settings.keep_recordings_days, settings.keep_photos_days
            ),
            spoken=make_spoken(settings),
            remind=ticker.tick,
            alert=ticker.alerts.after_turn,
            may_come=ticker.may_come,
        )

    return make


def _access(logbook: Logbook, settings: Settings, plan: Plan) -> Access:
    from doorround.channels.messenger.access import Access
    from doorround.config.link_keys import live_keys
    from doorround.wiring import keep_words

    by = (settings.bot_name, secrets.token_bytes, plan, keep_words)
    return Access(logbook, live_keys(settings.home), settings.keep_recordings_days, *by)


def _run(serving: Coroutine[Any, Any, None]) -> None:
    import asyncio

    asyncio.run(serving)
