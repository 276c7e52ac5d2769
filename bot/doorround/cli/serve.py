"""doorround serve: the bot on Telegram."""

from __future__ import annotations

import secrets
from collections.abc import Coroutine
from typing import Any

from doorround.cli.cli_errors import cli_errors
from doorround.cli.options import ChecklistName
from doorround.cli.settings import File, environment_with


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
    """Before the token is read, which may lie in the data folder."""
    from doorround.config.settings import read_settings
    from doorround.wiring import tell_private

    tell_private(read_settings(given).home)


def _serve(given: dict[str, str], checklist: str) -> None:
    from doorround.channels.messenger.access import Access
    from doorround.channels.messenger.inbound.invited_access import InvitedAccess
    from doorround.channels.messenger.retention import Kept
    from doorround.channels.telegram.serve import service
    from doorround.channels.telegram.transport.client import log_to_stderr
    from doorround.config.data_folder_lock import only_service
    from doorround.config.link_keys import live_keys
    from doorround.config.schedule_settings import read_plan
    from doorround.config.settings import read_settings, read_telegram
    from doorround.hearing.session.worker_pool import WAITING, WORKERS, Pool
    from doorround.reminders.ticker import Ticker
    from doorround.wiring import (
        keep_words,
        load_ruled_checklist,
        load_understanding,
        make_pool,
        make_served_talk,
        make_spoken,
        open_logbook,
    )

    settings, options, plan = read_settings(given), read_telegram(given), read_plan(given)
    log_to_stderr(options.token)
    with only_service(settings.home), open_logbook(settings) as logbook:
        load_understanding()
        asked = load_ruled_checklist(checklist, settings, plan.defects)
        ticker = Ticker(logbook, plan)
        talk = make_served_talk(logbook, settings, asked, plan, ticker.alarms)
        days = settings.keep_recordings_days
        by = (settings.bot_name, secrets.token_bytes, plan, keep_words)
        people = Access(logbook, live_keys(settings.home), days, *by)

        def make(pool: Pool) -> service.Service:
            kept = Kept(settings.recordings, days, settings.keep_photos_days)
            return service.Service(
                options=options,
                logbook=logbook,
                pool=pool,
                talk=talk,
                places=WORKERS + WAITING,
                reception=InvitedAccess(people),
                kept=kept,
                spoken=make_spoken(settings),
                remind=ticker.tick,
                alarm=ticker.alarms.after_turn,
                may_come=ticker.may_come,
            )

        _run(service.serve(make, make_pool(settings)))


def _run(serving: Coroutine[Any, Any, None]) -> None:
    import asyncio

    asyncio.run(serving)
