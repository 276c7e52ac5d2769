"""Where the files that travel with the program are: in the wheel beside the code, in a checkout at
the top.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from doorround.domain.checklist import Checklist, read_checklist

_CODE = Path(__file__).resolve().parents[1]


def grammar_folder() -> Path:
    """Folder of the JSGF files. Raises FileNotFoundError when the installation is not whole."""
    for folder in (_CODE / "grammar", _CODE.parents[1] / "grammar"):
        if (folder / "condition.jsgf").is_file():
            return folder
    raise FileNotFoundError(f"No grammar files beside {_CODE}. Install doorround again.")


def checklist_folder() -> Path:
    return _CODE / "domain" / "checklists"


def pronunciations() -> Path:
    """Extra pronunciations, one a line, as in the CMU dictionary."""
    return grammar_folder() / "pronunciations.dict"


def british() -> Path:
    """British ways to say words of the grammar, in the same format; made by
    scripts/make_british.py.
    """
    return grammar_folder() / "british.dict"


@lru_cache(maxsize=8)
def load_checklist(name: str = "routine") -> Checklist:
    """A checklist by its key, or from the path of a TOML file.

    Raises ValueError that says what to mend.
    """
    path = Path(name) if name.endswith(".toml") else checklist_folder() / f"{name}.toml"
    if not path.is_file():
        known = ", ".join(sorted(each.stem for each in checklist_folder().glob("*.toml")))
        raise ValueError(
            f'There is no checklist "{name}". Use one of: {known}; or the path of a TOML file.'
        )
    return read_checklist(path.read_text(encoding="utf-8"), path.name)
