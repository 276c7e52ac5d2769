"""Recordings and photos as files: whole or not there at all, even after a power cut."""

import stat

from doorround.channels.talk.blob_store import keep_file


def test_the_disk_has_a_recording_before_it_has_its_name_and_then_the_name(
    tmp_path, kept_by_the_disk
):
    keep_file(tmp_path / "recordings", "abc", b"said")
    assert kept_by_the_disk == [("abc.part", 4), ("recordings", None)]


def test_a_file_that_was_broken_off_is_written_anew_and_one_that_is_there_is_left(tmp_path):
    (tmp_path / "abc.part").write_bytes(b"half")
    path = keep_file(tmp_path, "abc", b"said")
    assert path.read_bytes() == b"said" and not (tmp_path / "abc.part").exists()
    assert keep_file(tmp_path, "abc", b"other").read_bytes() == b"said"


def test_what_people_send_is_for_this_account_alone(tmp_path):
    path = keep_file(tmp_path / "photos", "abc", b"seen")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
