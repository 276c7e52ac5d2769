"""The five steps of docs/running.md, their very commands, against the stand-in: from the token to
the first check.
"""

import asyncio
import re
import signal
import textwrap

import pytest
from house import said, tap_of
from program import PIPE, TOP, environment, installed, started
from service import until
from standin import TOKEN, StandIn

PAGE = (TOP / "docs" / "running.md").read_text(encoding="utf-8")


def steps():
    """Of each of the five steps its commands, as they stand there; None for one without."""
    whole = PAGE.split("in five steps", 1)[1].split("\n### ", 1)[0]
    parts = re.split(r"^\d\. ", whole, flags=re.MULTILINE)[1:]
    found = [re.search(r"```sh\n(.*?)```", part, re.DOTALL) for part in parts]
    return [
        each
        and textwrap.dedent("   " + each[1].lstrip(" ")).replace(".venv/bin/doorround", installed())
        for each in found
    ]


async def shell(text, home, server):
    given = environment(server, HOME=str(home), DOORROUND_ENGINE="pocketsphinx")
    return await asyncio.create_subprocess_exec(
        "bash", "-c", text, stdout=PIPE, stderr=PIPE, env=given, cwd=home
    )


async def shown(text, home, server):
    running = await shell(text, home, server)
    out, errors = await running.communicate()
    assert running.returncode == 0, errors.decode()
    return out.decode()


@pytest.mark.sphinx
async def test_the_five_steps_lead_to_a_first_check(tmp_path):
    token, settings, add, start, invite = steps()
    assert token is None
    async with StandIn() as server:
        await shown(settings.replace("TOKEN", TOKEN), tmp_path, server)
        assert (tmp_path / ".doorround" / "doorround.toml").stat().st_mode & 0o077 == 0
        assert "Door 12 added." in await shown(add, tmp_path, server)
        running = await shell(f"exec {start}", tmp_path, server)
        try:
            await started(running)
            code = re.search(
                r"^Code: (\w{4}(?:-\w{4}){3})$", await shown(invite, tmp_path, server), re.MULTILINE
            )[1]
            server.write(1, code)
            consent = await said(server, 1, "store")
            server.tap(1, tap_of(consent, "I agree"))
            await said(server, 1, "Welcome")
            server.write(1, "12")
            first = await said(server, 1, "Door 12: corridor by the lift. FD30S.")
            await until(lambda: server.to(1)[-1]["buttons"])
            assert first["id"] and server.to(1)[-1]["text"].rstrip().endswith("?")
        finally:
            running.send_signal(signal.SIGTERM)
            await asyncio.wait_for(running.communicate(), 300)
        assert running.returncode == 0
