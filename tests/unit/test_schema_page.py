"""The page of the logbook's schema, as one reads it, is what the migrations come to."""

from scripts import print_schema


def test_the_page_of_the_schema_is_as_the_migrations_leave_it():
    assert print_schema.PAGE.read_text(encoding="utf-8") == print_schema.page(), (
        "run: python -m scripts.print_schema --write"
    )


def test_the_page_shows_what_stands_and_nothing_that_was_renamed():
    page = print_schema.page()
    assert page.count("CREATE VIEW door_status_entered") == 1
    assert 'CREATE TABLE "door_status"' in page and "standing" not in page
