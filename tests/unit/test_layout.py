"""The tree tells the story: imports point one way, files and functions stay small, every command is
documented.
"""

import ast
import re
import subprocess
from pathlib import Path

import pytest
import typer.main

from doorround.cli.app import app
from scripts import print_reference

TOP = Path(__file__).parents[2]
PACKAGE = TOP / "bot" / "doorround"
CODE = sorted(PACKAGE.rglob("*.py"))

# A layer may import itself and what stands here.
DATA = {"english", "domain", "messages", "dialogue"}
USING_DATA = {"hearing", "understanding", "speaking", "logbook", "reports", "reminders"}
BELOW_WIRING = {*USING_DATA, "door_schedules", "sample", "channels", "config"}
MAY_IMPORT = {
    "english": set(),
    "domain": {"english"},
    "messages": {"english", "domain"},
    "dialogue": {"english", "domain", "messages"},
    "hearing": DATA,
    "understanding": {*DATA, "hearing"},
    "logbook": DATA,
    "reports": {"domain", "messages", "logbook"},
    "reminders": {"domain", "messages", "logbook", "reports"},
    "speaking": {"english", "domain", "hearing"},
    "door_schedules": {"english", "domain", "logbook"},
    "sample": {*DATA, "logbook"},
    "channels": {*DATA, *USING_DATA},
    "config": {"domain", "channels", "reminders"},
    "opened_logbook": {"logbook", "config"},
    "wiring": {*DATA, *BELOW_WIRING},
    "cli": {*DATA, *BELOW_WIRING, "opened_logbook", "wiring"},
}

# A package imports what stands before it.
IN_ORDER = {
    "hearing": (
        "errors",
        "lru_cache",
        "model_files",
        "automata",
        "audio",
        "lexicon",
        "grammar",
        "engines",
        "decision",
        "door_names",
        "session",
        "adaptation",
    ),
    "channels.messenger": (
        "results",
        "updates",
        "door_report",
        "word_judging",
        "defect_commands",
        "own_work",
        "query_handler",
        "round_handover",
        "commands",
        "access",
        "backoff",
        "channel",
        "outbound",
        "inbound",
        "retention",
        "service",
    ),
    "channels.telegram": ("wire", "transport", "outbound", "inbound", "serve"),
}

# One channel knows nothing of another.
CHANNELS = {
    "talk": set(),
    "messenger": {"talk"},
    "terminal": {"talk"},
    "replay": {"talk"},
    "telegram": {"talk", "messenger"},
}


def imports(path: Path) -> set[str]:
    """Names of the modules that a file imports, at its top or inside functions, without the
    package's own.
    """
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = [
        f"{node.module}.{each.name}"
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
        for each in node.names
    ]
    names += [
        each.name for node in ast.walk(tree) if isinstance(node, ast.Import) for each in node.names
    ]
    assert not [
        node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.level
    ], path
    return {name.removeprefix("doorround.") for name in names if name.startswith("doorround.")}


def imported_parts(part: str) -> dict[str, set[str]]:
    """Each part of a package with the parts of the same package that it imports."""
    folder = PACKAGE.joinpath(*part.split("."))
    found = dict[str, set[str]]()
    for path in sorted(folder.rglob("*.py")):
        own = path.relative_to(folder).with_suffix("").parts[0]
        within = (
            name.removeprefix(f"{part}.") for name in imports(path) if name.startswith(f"{part}.")
        )
        found.setdefault(own, set()).update(name.split(".")[0] for name in within)
    return found


def test_every_layer_has_its_place():
    there = {
        path.stem
        for path in PACKAGE.iterdir()
        if path.suffix == ".py" or (path / "__init__.py").exists()
    }
    assert there == {*MAY_IMPORT, "__init__"}


@pytest.mark.parametrize("layer", MAY_IMPORT)
def test_imports_point_one_way(layer):
    alone = PACKAGE / f"{layer}.py"
    files = [alone] if alone.is_file() else sorted((PACKAGE / layer).rglob("*.py"))
    assert files
    for path in files:
        beyond = {name.split(".")[0] for name in imports(path)} - MAY_IMPORT[layer] - {layer}
        assert not beyond, f"{path.name} imports {beyond}"


@pytest.mark.parametrize("part", IN_ORDER)
def test_a_package_imports_only_those_before_it(part):
    found = imported_parts(part)
    assert set(found) == {"__init__", *IN_ORDER[part]}
    for place, own in enumerate(IN_ORDER[part]):
        beyond = found[own] - set(IN_ORDER[part][: place + 1])
        assert not beyond, f"{part}.{own} imports {beyond}"


def test_a_channel_knows_no_other():
    found = imported_parts("channels")
    assert set(found) == {"__init__", *CHANNELS}
    for own, may in CHANNELS.items():
        beyond = found[own] - may - {own}
        assert not beyond, f"channels.{own} imports {beyond}"


def test_every_package_says_what_it_holds():
    folders = sorted({path.parent for path in CODE})
    for folder in folders:
        said = ast.get_docstring(ast.parse((folder / "__init__.py").read_text(encoding="utf-8")))
        assert said, folder.name
        assert folder == PACKAGE or "mport" in said, (
            f"{folder.name} does not say what it may import"
        )


def test_only_the_logbook_knows_sql():
    for path in CODE:
        if "logbook" not in path.parts:
            assert "sqlite" not in path.read_text(encoding="utf-8"), path.name


def test_the_domain_reads_no_clock_and_no_file():
    pure = ("domain", "messages", "dialogue")
    for path in (path for layer in pure for path in sorted((PACKAGE / layer).rglob("*.py"))):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\.now\(|\bopen\(|time\.time|read_text|os\.environ", text), path.name


def test_files_stay_under_300_lines_and_functions_under_40():
    for path in CODE + sorted((TOP / "scripts").glob("*.py")):
        text = path.read_text(encoding="utf-8")
        assert len(text.splitlines()) < 300, path.name
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                assert node.end_lineno - node.lineno < 40, f"{path.name}: {node.name}"


def test_files_of_tests_stay_under_300_lines_too():
    files = sorted((TOP / "tests").rglob("*.py"))
    assert len(files) > 300
    for path in files:
        assert len(path.read_text(encoding="utf-8").splitlines()) < 300, path.name


def test_every_constant_of_a_module_has_a_line_of_its_own():
    for path in CODE + sorted((TOP / "scripts").glob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.Assign):
                several = len(node.targets) > 1 or isinstance(node.targets[0], ast.Tuple)
                assert not several, f"{path.name}, line {node.lineno}"


def commands(command, path=()):
    """Every command of the program: words and the command itself."""
    if hasattr(command, "commands"):
        for name, child in command.commands.items():
            yield from commands(child, (*path, name))
    else:
        yield path, command


ALL_COMMANDS = list(commands(typer.main.get_command(app)))


@pytest.mark.parametrize(
    ("words", "command"),
    ALL_COMMANDS,
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_every_command_says_what_it_does_and_what_its_options_are(words, command):
    assert command.help, words
    for parameter in command.params:
        if parameter.name != "help":
            assert getattr(parameter, "help", None), f"{' '.join(words)}: {parameter.name}"


def test_the_reference_is_as_the_code_is():
    there = print_reference.PAGE.read_text(encoding="utf-8")
    assert there == print_reference.page(), "run: python -m scripts.print_reference --write"
    for words, _ in ALL_COMMANDS:
        assert f"\n### `doorround {' '.join(words)}" in there


def test_the_repository_names_no_path_of_one_machine():
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=False
    ).stdout.split()
    for name in tracked:
        path = TOP / name
        if (
            path.suffix in (".py", ".md", ".toml", ".talk", ".jsgf", ".sql", ".dict", ".yml")
            and path.is_file()
        ):
            text = path.read_text(encoding="utf-8")
            assert not any(f"/{start}/" in text.replace("://", "") for start in ("work", "root")), (
                name
            )


def test_no_test_is_decided_by_a_clock() -> None:
    """On a busy machine it would fail of nothing.

    What is measured is measured in tests/benchmarks.
    """
    clocks = ("perf" + "_counter", "mono" + "tonic(", "time.time" + "() -")
    for path in sorted((TOP / "tests").rglob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        assert not [clock for clock in clocks if clock in text], path.name
