"""The pages: short where they must be, no link into nothing, no command that does not exist."""

from __future__ import annotations

import re
import shlex
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer.main

from doorround.cli.app import app
from doorround.config.schedule_settings import plan_of
from doorround.domain.judging.custom_rules import read_custom_rules

TOP = Path(__file__).parents[2]
PAGES = [
    *(TOP / name for name in ("README.md", "SECURITY.md", "CONTRIBUTING.md", "DEVELOPERS.md")),
    *sorted((TOP / "docs").glob("*.md")),
]
BY_HAND = [page for page in PAGES if page.name not in ("messages.md", "reference.md")]
WITH_CHANGES = [*BY_HAND, TOP / "CHANGELOG.md"]
LONGEST = {"README.md": 120, "DEVELOPERS.md": 200}
WIDEST = 120
PAGE_IDS = [page.name for page in PAGES]


def read(page: Path) -> str:
    return page.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", LONGEST)
def test_a_page_that_is_to_be_short_is(name: str) -> None:
    assert len(read(TOP / name).splitlines()) <= LONGEST[name]


def test_no_line_for_developers_is_too_wide_to_read() -> None:
    wide = [line for line in read(TOP / "DEVELOPERS.md").splitlines() if len(line) > WIDEST]
    assert wide == []


@pytest.mark.parametrize("page", PAGES, ids=PAGE_IDS)
def test_every_link_leads_somewhere(page: Path) -> None:
    for link in re.findall(r"\]\(\s*([^)\s]+)\s*\)", read(page)):
        if re.match(r"[a-z]+:", link):
            continue
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        assert target.exists(), f"{page.name}: {link}"
        if anchor:
            assert anchor in anchors(read(target)), f"{page.name}: {link}"


def anchors(text: str) -> set[str]:
    """The names of a page's headings, as they are linked to."""
    headings = re.findall(r"^#+ (.*)$", text, re.MULTILINE)
    plain = (re.sub(r"[^\w\s-]", "", heading.lower()) for heading in headings)
    return {heading.strip().replace(" ", "-") for heading in plain}


def written_commands(text: str) -> Iterator[str]:
    """What stands in a block of code or between backticks and begins with the program's name."""
    blocks = re.findall(r"^ *```(?:sh)?\n(.*?)^ *```", text, re.MULTILINE | re.DOTALL)
    lines = [line.strip() for block in blocks for line in block.splitlines()]
    spans = re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.DOTALL))
    for each in (*lines, *spans):
        for part in re.split(r"&&|;|\|", each):
            found = re.search(r"(?:^|\s|/bin/)(doorround [^#]*)", part.strip())
            if found and "podman" not in part and "systemctl" not in part:
                yield found[1]


def named(words: list[str]) -> Any:
    """The command that words name; a group where they stop at one."""
    command = typer.main.get_command(app)
    for word in words:
        if not hasattr(command, "commands") or word.startswith("-"):
            break
        assert word in command.commands, f"there is no doorround {' '.join(words)}"
        command = command.commands[word]
    return command


@pytest.mark.parametrize("page", WITH_CHANGES, ids=lambda page: page.name)
def test_every_command_on_a_page_exists_with_its_options(page: Path) -> None:
    for text in written_commands(read(page)):
        words = shlex.split(text.replace("…", ""))[1:]
        if not words or not re.fullmatch(r"[a-z-]+", words[0]):
            continue
        command = named(words)
        known = {option for each in command.params for option in each.opts} | {"-h", "--help"}
        used = {word for word in words if word.startswith("--") and word != "--"}
        assert used <= known, f"{page.name}: doorround {text}"


def test_what_the_pages_show_of_settings_is_taken() -> None:
    blocks = re.findall(r"```toml\n(.*?)```", read(TOP / "docs" / "supervisor.md"), re.DOTALL)
    [intervals] = [block for block in blocks if "[intervals]" in block]
    plan = plan_of(Path("doorround.toml"), tomllib.loads(intervals))
    assert "R3" in plan.intervals.doors
    [rules] = [block for block in blocks if "[severity]" in block]
    own = read_custom_rules(rules, "rules.toml")
    assert own.site == {"Lantern House": "england-flats"}


@pytest.mark.parametrize("page", WITH_CHANGES, ids=lambda page: page.name)
def test_every_file_that_a_page_names_is_there(page: Path) -> None:
    for name in re.findall(r"`((?:bot|tests|scripts|docs|deploy|grammar)/[\w./-]+)`", read(page)):
        assert (TOP / name).exists() or "NAME" in name, f"{page.name}: {name}"


def test_every_file_of_the_short_list_is_there() -> None:
    text = read(TOP / "DEVELOPERS.md")
    table = text[text.index("## Where is") : text.index("## How to add")]
    for name in re.findall(r"`([a-z_/]+/[\w./]*)`", table):
        places = (TOP / "bot" / "doorround" / name, TOP / name)
        assert any(place.exists() for place in places) or "*" in name, name
