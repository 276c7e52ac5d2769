"""Creates and recognises data folders with sample data."""

from __future__ import annotations

from pathlib import Path

from doorround.config.sources import SettingsError

FILE = "SAMPLE-DATA.txt"
NOTICE = "Sample data: an invented estate. Nothing here is real."


def mark_sample(home: Path) -> None:
    """Create a data folder for sample data. Raises SettingsError if it is not empty."""
    if home.exists() and any(home.iterdir()):
        raise SettingsError(f"{home} is not empty. Sample data needs a separate folder: --into.")
    home.mkdir(parents=True, exist_ok=True, mode=0o700)
    (home / FILE).write_text(f"{NOTICE}\n", encoding="utf-8")


def is_sample(home: Path) -> bool:
    """Whether a data folder contains sample data."""
    return (home / FILE).is_file()
