"""Imports a door schedule into the register: file → sheets → headings → rows → plan → entries.

`file_kinds` reads files as sheets of cells; `headings` identifies columns; `values` parses cells;
`sheet_doors` assembles doors; `import_plan` compares them with the register; `entering` enters
them, and undoes an import. May import domain and logbook.
"""
