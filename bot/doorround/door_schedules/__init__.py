"""A door schedule into the register: file → sheets → headings → rows → plan → entries.

`file_kinds` reads files as sheets of cells; `headings` finds what each column holds; `values` what
each cell says; `sheet_doors` puts doors together; `import_plan` holds them against the register;
`entering`
enters them, and takes them back. May import domain and logbook.
"""
