"""Mutation testing of the judging rules: mutates one place at a time and reports the mutants that
survive the tests.

    python scripts/mutants.py [--again] [--only PATTERN] [--no-tables]

mutmut creates the mutants of functions. Its own runs collect the tests again for each mutant, which
takes most of the time. Here the tests are collected once, and a fork runs those that call the
mutated function, fastest first (trying.py). Some functions run only while the package is imported
(the rule sets, the lists of points). A fork is too late for them, so their survivors are tried
again in a process that imports the package with the mutation in place. mutmut does not mutate
tables: here each of their numbers is increased by one (tables.py). Mutants argued to be equivalent
are listed in mutants_alike.toml.

Exits with 1 if a survivor has no argument, or if, after a full run, an argument matches no
survivor.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path

from mutmut.mutation.diff_apply import get_diff_for_mutant
from tables import table_changes
from trying import UNDER_TEST, Trial, tried_anew, tried_in_forks

TOP = Path(__file__).parents[1]
MUTANTS = TOP / "mutants"
JUDGING = Path("bot", "doorround", "domain", "judging")
FOLDER = "bot."  # mutmut mistakes the folder that holds the package for a package
ALIKE = TOP / "scripts" / "mutants_alike.toml"
KILLED = (1, 2)  # from pytest: a test failed, or the import did; negative: ended by a signal
QUICK = tuple(
    f"tests/unit/test_{name}.py"
    for name in ("rule_listing", "references", "finding_texts", "severity")
)
MODULES = (
    "door_verdict",
    "custom_rules",
    "rule_listing",
    "plausibility",
)  # together they import all of judging


@dataclass(frozen=True)
class Left:
    """A surviving mutant. where: "hinges._too_few_hinges"; old, new: its lines before and after."""

    where: str
    old: str
    new: str

    def __str__(self) -> str:
        return f"{self.where}\n    - {self.old}\n    + {self.new}"


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "--again",
        action="store_true",
        help="resume the last run: retry its survivors and run the rest, with the current tests",
    )
    parser.add_argument(
        "--only", default="*", help="only mutants whose name matches, such as *hinges*"
    )
    parser.add_argument(
        "--no-tables", action="store_true", help="do not mutate the numbers of tables"
    )
    chosen = parser.parse_args()
    whole = chosen.only == "*" and not chosen.no_tables
    if not chosen.again:
        shutil.rmtree(MUTANTS, ignore_errors=True)
    total, left = _functions(chosen.only, again=chosen.again)
    told = [f"functions: {total} changes, {len(left)} left, {_share(total, left)} noticed"]
    if whole:
        total, more = _tables()
        told.append(f"tables: {total} changes, {len(more)} left, {_share(total, more)} noticed")
        left += more
    open_, unused = _argued(left)
    print(*(f"left: {each}" for each in open_), sep="\n")
    if whole:
        print(*(f"argued, and not left: {each}" for each in unused), sep="\n")
    print(
        *told,
        f"argued to change nothing: {len(left) - len(open_)}; not argued: {len(open_)}",
        sep="\n",
    )
    return 1 if open_ or (unused and whole) else 0


class Codes:
    """Pytest's exit codes as they arrive, stored in a file, so that an interrupted run can be
    resumed. Raises SystemExit if the file belongs to other sources.
    """

    def __init__(self, path: Path, sources: str) -> None:
        self.path = path
        self.codes = dict[str, int]()
        if not path.exists():
            path.write_text(json.dumps(sources) + "\n", encoding="utf-8")
        first, *rest = map(json.loads, path.read_text(encoding="utf-8").splitlines())
        if first != sources:
            raise SystemExit(
                "Judging has changed since the last run. Run it whole, without --again."
            )
        self.codes.update(rest)

    def keep(self, name: str, code: int) -> None:
        self.codes[name] = code
        with self.path.open("a", encoding="utf-8") as file:
            file.write(json.dumps([name, code]) + "\n")

    def noticed(self, name: str) -> bool:
        """Whether a test failed, the import failed, or the tests were caught in a loop."""
        code = self.codes.get(name, 0)
        return code in KILLED or code < 0


def _share(total: int, left: list[Left]) -> str:
    return f"{100 * (total - len(left)) / max(total, 1):.1f} %"


def _arguments() -> list[str]:
    settings = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mutmut"]
    # a long traceback reads the whole mutated file, which is slower than most tests
    return [
        "-x",
        "-q",
        "--tb=native",
        *settings["pytest_add_cli_args"],
        *settings["pytest_add_cli_args_test_selection"],
    ]


def _stages() -> list[list[str]]:
    """First one file of fast tests, then some, then all."""
    every = _arguments()
    named = [
        [each for each in every if not each.endswith(".py") or each in files]
        for files in (QUICK[:1], QUICK)
    ]
    return [*named, every]


def _functions(only: str, *, again: bool) -> tuple[int, list[Left]]:
    """The number of mutants of functions, and the survivors."""
    if again:
        shutil.copytree(TOP / "tests", MUTANTS / "tests", dirs_exist_ok=True)
    else:
        subprocess.run(
            [sys.executable, "-c", _MAKE], cwd=TOP, check=True, stdout=subprocess.DEVNULL
        )
    codes = Codes(MUTANTS / "codes.jsonl", _sources())
    names = [name for name in _names() if fnmatch(name, only)]
    open_ = [name for name in names if not codes.noticed(name)]
    at_import = _run_at_import()
    late = [name for name in open_ if name.partition("__mutmut_")[0] in at_import]
    in_forks = [name for name in open_ if name not in late]
    for name, code in tried_in_forks(in_forks, MUTANTS, _arguments()):
        codes.keep(name, code)
    for name, code in zip(
        late,
        tried_anew([Trial(MUTANTS, {UNDER_TEST: each}) for each in late], _stages()),
        strict=True,
    ):
        codes.keep(name, code)
    return len(names), [_left(name) for name in names if not codes.noticed(name)]


# As `mutmut run` begins: the project copied, each function with its changes beside it.
_MAKE = """
from mutmut.__main__ import copy_also_copy_files, copy_src_dir, create_mutants
from pathlib import Path
Path("mutants").mkdir(exist_ok=True)
copy_src_dir()
copy_also_copy_files()
create_mutants(1)
"""


def _names() -> Iterator[str]:
    """The name of each of mutmut's mutants, as in the running package."""
    for path in sorted((MUTANTS / JUDGING).glob("*.py.meta")):
        names = json.loads(path.read_text(encoding="utf-8"))["exit_code_by_key"]
        yield from (name.removeprefix(FOLDER) for name in names)


def _run_at_import() -> set[str]:
    """The functions that run while the package is imported, by mutmut's names."""
    imports = "; ".join(f"import doorround.domain.judging.{module}" for module in MODULES)
    script = (
        f"import json; from mutmut.state import state; {imports};"
        " print(json.dumps(sorted(state()._stats)))"
    )
    told = subprocess.run(
        [sys.executable, "-c", script],
        cwd=MUTANTS,
        check=True,
        capture_output=True,
        text=True,
        env={UNDER_TEST: "stats", "PYTHONPATH": str(MUTANTS / "bot")},
    )
    return set(json.loads(told.stdout))


def _left(name: str) -> Left:
    """A mutant in words."""
    module, _, rest = name.removeprefix("doorround.domain.judging.").partition(".")
    where = rest.partition("__mutmut_")[0].removeprefix("x_").removeprefix("xǁ").replace("ǁ", ".")
    lines = get_diff_for_mutant(FOLDER + name, path=JUDGING / f"{module}.py").split("\n")[2:]
    old, new = (
        " | ".join(line[1:].strip() for line in lines if line[0:1] == sign) for sign in "-+"
    )
    return Left(f"{module}.{where}", old, new)


def _tables() -> tuple[int, list[Left]]:
    """The number of table entries mutated, and the survivors."""
    changes = list(table_changes(TOP / JUDGING, "doorround.domain.judging"))
    codes = Codes(MUTANTS / "tables.jsonl", _sources())
    open_ = [each for each in changes if not codes.noticed(each.name)]
    trials = [Trial(TOP, {}, each.module, each.source) for each in open_]
    for each, code in zip(open_, tried_anew(trials, _stages()), strict=True):
        codes.keep(each.name, code)
    left = [each for each in changes if not codes.noticed(each.name)]
    return len(changes), [
        Left(f"{each.module.rpartition('.')[2]}, table", each.old, each.new) for each in left
    ]


def _sources() -> str:
    """One hash over the mutated files."""
    files = sorted((TOP / JUDGING).glob("*.py"))
    return hashlib.sha256(b"".join(path.read_bytes() for path in files)).hexdigest()


def _argued(left: list[Left]) -> tuple[list[Left], list[Left]]:
    """Survivors without an argument, and arguments without a survivor."""
    argued = tomllib.loads(ALIKE.read_text(encoding="utf-8"))["alike"] if ALIKE.exists() else []
    known = [Left(each["where"], each["old"], each["new"]) for each in argued]
    return [each for each in left if each not in known], [
        each for each in known if each not in left
    ]


if __name__ == "__main__":
    sys.exit(main())
