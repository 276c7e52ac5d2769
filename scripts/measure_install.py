"""Disk space of an installation: megabytes of each package, largest first.

python -m scripts.measure_install counts everything installed beside the Python that runs it; with
`base`, what doorround alone needs; with names of extras, what it needs with those.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable
from importlib.metadata import Distribution, distribution, distributions

from packaging.requirements import Requirement

MB = 10**6
NAME = "doorround"


def size(package: Distribution) -> int:
    """Bytes on disk of a package's files."""
    paths = (package.locate_file(file) for file in package.files or ())
    return sum(path.stat().st_size for path in paths if path.is_file())  # type: ignore[attr-defined]


def needed(extras: Iterable[str]) -> dict[str, Distribution]:
    """The normalised names of all installed packages that doorround needs with some extras."""
    found: dict[str, Distribution] = {}
    waiting = [(NAME, frozenset(extras))]
    seen = set[tuple[str, frozenset[str]]]()
    while waiting:
        name, wanted = waiting.pop()
        if (name, wanted) in seen:
            continue
        seen.add((name, wanted))
        try:
            package = distribution(name)
        except ModuleNotFoundError:
            continue
        if name != NAME:
            found[plain(name)] = package
        for text in package.requires or ():
            requirement = Requirement(text)
            if any(_holds(requirement, extra) for extra in ("", *wanted)):
                waiting.append((requirement.name, frozenset(requirement.extras)))
    return found


def _holds(requirement: Requirement, extra: str) -> bool:
    return requirement.marker is None or requirement.marker.evaluate({"extra": extra})


def plain(name: str) -> str:
    """A package's name, normalised as registries compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "extras", nargs="*", help="base, or extras of doorround; default: everything installed"
    )
    extras = parser.parse_args().extras
    if extras:
        packages = needed(each for each in extras if each != "base")
    else:
        packages = {plain(each.metadata["Name"]): each for each in distributions()}
    sizes = sorted(((size(each), name) for name, each in packages.items()), reverse=True)
    for taken, name in sizes:
        print(f"{taken / MB:8.1f}  {name}")
    print(f"{sum(taken for taken, _ in sizes) / MB:8.1f}  in all, {len(sizes)} packages")


if __name__ == "__main__":
    main()
