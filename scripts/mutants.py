"""Changes the rules of judging, one place at a time, and tells which changes no test of judging notices.

    python scripts/mutants.py [--again] [--only PATTERN] [--no-tables]

mutmut makes the changes of functions. Its own runs collect the tests anew for each change, which takes most of the
time; here they are collected once, and one fork runs those that call the changed function, the quick ones first
(trying.py). Some functions run only while the package is imported (the sets of rules, the lists of points): a fork
comes too late for them, so what is left of them is tried again in a process that imports the package with the change in
place. mutmut leaves tables alone: here each of their numbers is made one larger (tables.py). What is argued to change
nothing stands in mutants_alike.toml.

Exit code 1 where something is left that is not argued, or an argument of a whole run fits nothing any more.
"""

from __future__ import annotations

import argparse
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
JUDGING = Path("bot", "domain", "judging")
ALIKE = TOP / "scripts" / "mutants_alike.toml"
KILLED = (1, 2, 3)  # of pytest: a test failed, nothing could be imported, an error inside; negative: a signal
MODULES = ("whole", "own", "described", "plausible")  # between them they import all of judging


@dataclass(frozen=True)
class Left:
    """A change that no test noticed. where: "hinges._too_few_hinges"; old, new: its lines before and after."""

    where: str
    old: str
    new: str

    def __str__(self) -> str:
        return f"{self.where}\n    - {self.old}\n    + {self.new}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--again", action="store_true", help="only what the last run left, with its tests")
    parser.add_argument("--only", default="*", help="only mutants whose name fits, such as *hinges*")
    parser.add_argument("--no-tables", action="store_true", help="leave the numbers of tables alone")
    chosen = parser.parse_args()
    part = chosen.again or chosen.only != "*"
    if not part:
        shutil.rmtree(MUTANTS, ignore_errors=True)
    total, left = _functions(chosen.only, again=chosen.again)
    told = [f"functions: {total} changes, {len(left)} left, {_share(total, left)} noticed"]
    if not chosen.no_tables and not part:
        total, more = _tables()
        told.append(f"tables: {total} changes, {len(more)} left, {_share(total, more)} noticed")
        left += more
    open_, unused = _argued(left)
    print(*(f"left: {each}" for each in open_), sep="\n")
    if not part and not chosen.no_tables:
        print(*(f"argued, and not left: {each}" for each in unused), sep="\n")
    print(*told, f"argued to change nothing: {len(left) - len(open_)}; not argued: {len(open_)}", sep="\n")
    return 1 if open_ or (unused and not part and not chosen.no_tables) else 0


def _share(total: int, left: list[Left]) -> str:
    return f"{100 * (total - len(left)) / max(total, 1):.1f} %"


def _arguments() -> list[str]:
    settings = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mutmut"]
    return ["-x", "-q", *settings["pytest_add_cli_args"], *settings["pytest_add_cli_args_test_selection"]]


def _functions(only: str, *, again: bool) -> tuple[int, list[Left]]:
    """How many changes of functions there are, and what is left of them."""
    before = json.loads((MUTANTS / "left.json").read_text(encoding="utf-8")) if again else []
    if not again:
        subprocess.run([sys.executable, "-c", _MAKE], cwd=TOP, check=True, stdout=subprocess.DEVNULL)
    names = [name for name in _names() if fnmatch(name, only) and (name in before or not again)]
    codes = tried_in_forks(names, MUTANTS, _arguments())
    survived = [name for name, code in codes.items() if not _noticed(code)]
    at_import = _run_at_import()
    late = [name for name in survived if name.partition("__mutmut_")[0] in at_import]
    trials = [Trial(MUTANTS, {UNDER_TEST: name}) for name in late]
    seen = {name for name, code in zip(late, tried_anew(trials, _arguments()), strict=True) if _noticed(code)}
    left = [name for name in survived if name not in seen]
    (MUTANTS / "left.json").write_text(json.dumps(left), encoding="utf-8")
    return len(names), [_left(name) for name in left]


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
    """Name of each mutant that mutmut made."""
    for path in sorted((MUTANTS / JUDGING).glob("*.py.meta")):
        yield from json.loads(path.read_text(encoding="utf-8"))["exit_code_by_key"]


def _noticed(code: int) -> bool:
    return code in KILLED or code < 0


def _run_at_import() -> set[str]:
    """Names, as mutmut has them, of the functions that run while the package is imported."""
    imports = "; ".join(f"import bot.domain.judging.{module}" for module in MODULES)
    script = f"import json; from mutmut.state import state; {imports}; print(json.dumps(sorted(state()._stats)))"
    told = subprocess.run(
        [sys.executable, "-c", script], cwd=MUTANTS, check=True, capture_output=True, text=True,
        env={UNDER_TEST: "stats", "PYTHONPATH": str(MUTANTS)},
    )  # fmt: skip
    return set(json.loads(told.stdout))


def _left(name: str) -> Left:
    """A mutant in words."""
    module, _, rest = name.removeprefix("bot.domain.judging.").partition(".")
    where = rest.partition("__mutmut_")[0].removeprefix("x_").removeprefix("xǁ").replace("ǁ", ".")
    lines = get_diff_for_mutant(name, path=JUDGING / f"{module}.py").split("\n")[2:]
    old, new = (" | ".join(line[1:].strip() for line in lines if line[0:1] == sign) for sign in "-+")
    return Left(f"{module}.{where}", old, new)


def _tables() -> tuple[int, list[Left]]:
    """How many numbers of tables there are, and which may be one larger unnoticed."""
    changes = list(table_changes(TOP / JUDGING, "bot.domain.judging"))
    codes = tried_anew((Trial(TOP, {}, each.module, each.source) for each in changes), _arguments())
    left = [each for each, code in zip(changes, codes, strict=True) if not _noticed(code)]
    return len(changes), [Left(f"{each.module.rpartition('.')[2]}, table", each.old, each.new) for each in left]


def _argued(left: list[Left]) -> tuple[list[Left], list[Left]]:
    """What is left without an argument, and arguments without anything left."""
    argued = tomllib.loads(ALIKE.read_text(encoding="utf-8"))["alike"] if ALIKE.exists() else []
    known = [Left(each["where"], each["old"], each["new"]) for each in argued]
    return [each for each in left if each not in known], [each for each in known if each not in left]


if __name__ == "__main__":
    sys.exit(main())
