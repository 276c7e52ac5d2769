"""Generate docs/schema.sql: the logbook's tables, indexes, views and triggers after all migrations.
The files in bot/doorround/logbook/sql are the migration steps; a later one may replace what an
earlier one created.

Run: python -m scripts.print_schema [--write]
"""

from __future__ import annotations

import argparse
import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from doorround.logbook.store import Logbook

PAGE = Path(__file__).resolve().parent.parent / "docs" / "schema.sql"
HEAD = """-- The logbook's database after every migration. To read, not to run: what makes it
-- is bot/doorround/logbook/schema.py. Printed by `python -m scripts.print_schema --write`.
"""
KINDS = ("table", "index", "view", "trigger")


def page() -> str:
    """The whole page, sorted by type and name, without the indexes that SQLite creates."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "logbook.db"
        Logbook.open(file).close()
        with closing(sqlite3.connect(file)) as conn:
            rows = conn.execute(
                "SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL"
                " AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
                " AND name NOT LIKE '\\_sqlite\\_%' ESCAPE '\\' ORDER BY name"
            ).fetchall()
    parts = [HEAD]
    for kind in KINDS:
        parts += [f"{sql};\n" for type, _, sql in rows if type == kind]
    return "\n".join(parts)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument(
        "--write", action="store_true", help="write docs/schema.sql instead of printing it"
    )
    if options.parse_args().write:
        PAGE.write_text(page(), encoding="utf-8")
    else:
        sys.stdout.write(page())


if __name__ == "__main__":
    main()
