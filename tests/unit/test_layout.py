"""The tree tells the story: imports point one way, files and functions stay small, every command is documented."""

import ast
import subprocess
from pathlib import Path

import pytest
import typer.main

from doorround.cli.app import app

TOP = Path(__file__).parents[2]
CODE = sorted((TOP / "bot" / "doorround").rglob("*.py"))

# A layer may import itself and what stands here. The rest (cli, settings, wiring, resources) wires the parts together.
MAY_IMPORT = {
    "domain": set(),
    "dialogue": {"domain"},
    "hearing": {"domain", "dialogue"},
    "logbook": {"domain", "dialogue"},
    "reports": {"domain", "logbook"},
    "reminders": {"domain", "logbook", "reports"},
    "speaking": {"domain", "hearing"},
    "channels": {"domain", "dialogue", "hearing", "speaking", "logbook", "reports", "reminders"},
}


def imported_layers(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    names += [alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names]
    return {name.split(".")[1] for name in names if name.startswith("doorround.")}


@pytest.mark.parametrize("layer", MAY_IMPORT)
def test_imports_point_one_way(layer):
    files = sorted((TOP / "bot" / "doorround" / layer).rglob("*.py"))
    assert files
    for path in files:
        beyond = imported_layers(path) - MAY_IMPORT[layer] - {layer}
        assert not beyond, f"{path.name} imports {beyond}"


def test_only_the_logbook_knows_sql():
    for path in CODE:
        if "logbook" not in path.parts:
            assert "sqlite" not in path.read_text(encoding="utf-8"), path.name


def test_the_domain_reads_no_clock_and_no_file():
    for path in sorted((TOP / "bot" / "doorround" / "domain").rglob("*.py")) + sorted(
        (TOP / "bot" / "doorround" / "dialogue").rglob("*.py")
    ):
        text = path.read_text(encoding="utf-8")
        assert not any(call in text for call in (".now(", "open(", "time.time", "read_text", "os.environ")), path.name


def test_files_stay_under_300_lines_and_functions_under_40():
    for path in CODE + sorted((TOP / "scripts").glob("*.py")):
        text = path.read_text(encoding="utf-8")
        assert len(text.splitlines()) < 300, path.name
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                assert node.end_lineno - node.lineno < 40, f"{path.name}: {node.name}"


def commands(command, path=()):
    """Every command of the program: words and the command itself."""
    if hasattr(command, "commands"):
        for name, child in command.commands.items():
            yield from commands(child, (*path, name))
    else:
        yield path, command


ALL_COMMANDS = list(commands(typer.main.get_command(app)))


@pytest.mark.parametrize(
    ("words", "command"), ALL_COMMANDS, ids=lambda value: " ".join(value) if isinstance(value, tuple) else ""
)
def test_every_command_says_what_it_does_and_stands_in_the_readme(words, command):
    assert command.help, words
    for parameter in command.params:
        if parameter.name != "help":
            assert getattr(parameter, "help", None), f"{' '.join(words)}: {parameter.name}"
    assert f"doorround {' '.join(words)}" in (TOP / "README.md").read_text(encoding="utf-8")


def test_the_repository_names_no_path_of_one_machine():
    tracked = subprocess.run(["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=False).stdout.split()
    for name in tracked:
        path = TOP / name
        if path.suffix in (".py", ".md", ".toml", ".talk", ".jsgf", ".sql", ".dict", ".yml") and path.is_file():
            text = path.read_text(encoding="utf-8")
            assert not any(f"/{start}/" in text.replace("://", "") for start in ("work", "root")), name


def test_no_test_is_decided_by_a_clock() -> None:
    """On a busy machine it would fail of nothing. What is measured is measured in tests/benchmarks."""
    clocks = ("perf" + "_counter", "mono" + "tonic(", "time.time" + "() -")
    for path in sorted((TOP / "tests").rglob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        assert not [clock for clock in clocks if clock in text], path.name
