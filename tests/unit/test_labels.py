"""Labels as they come out of a printer: rendered from the PDF, and read by another QR reader
(ZXing), also at half their size, turned and out of focus.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.domain.links import DoorLink, door_of, read_payload
from doorround.reports.labels import SIZES, DoorLabel, label_sheets, plate_svg, qr_rows

DPI = 300
LINK = "https://t.me/alder_house_doors_bot?start=d1aABCDEFGHIJKLMNOPQRST"
DOORS = [
    DoorLabel(
        f"{floor}.{door:02d}",
        f"floor {floor}, by stair {door}",
        "Alder House",
        f"{LINK[:-2]}{floor}{door % 10}",
    )
    for floor in range(3)
    for door in range(10)
]


def pages(pdf: bytes, dpi: int = DPI) -> list[Image.Image]:
    document = pypdfium2.PdfDocument(pdf)
    return [page.render(scale=dpi / 72).to_pil().convert("L") for page in document]


def read(image: Image.Image) -> list[str]:
    return sorted(found.text for found in zxingcpp.read_barcodes(image))


def cut(page: Image.Image, name: str, place: int) -> Image.Image:
    """One label of a sheet, with the white that is round it."""
    size = SIZES[name]
    row, column = divmod(place, size.columns)
    left = size.margin[0] + column * size.pitch[0]
    top = size.margin[1] + row * size.pitch[1]
    corners = (left, top, left + size.label[0], top + size.label[1])
    return page.crop(tuple(round(each * DPI / 25.4) for each in corners))


def worn(label: Image.Image, how: str) -> Image.Image:
    match how:
        case "at half its size":
            return label.resize((label.width // 2, label.height // 2), Image.Resampling.BILINEAR)
        case "turned":
            return label.rotate(17, expand=True, fillcolor=255, resample=Image.Resampling.BILINEAR)
        case "upside down":
            return label.rotate(180)
        case "out of focus":
            return label.filter(ImageFilter.GaussianBlur(DPI * 0.15 / 25.4))
        case "pale":
            return label.point(lambda value: 110 + value // 3)
        case "scratched":
            torn = label.copy()
            ImageDraw.Draw(torn).line((0, label.height * 0.6, label.width * 0.3, 0), 255, 6)
            return torn
    return label


@pytest.mark.parametrize("name", SIZES)
def test_every_code_of_a_sheet_is_read_at_its_place(name: str) -> None:
    doors = DOORS[: SIZES[name].count + 1]
    sheets = pages(label_sheets(doors, SIZES[name]))
    assert len(sheets) == -(-len(doors) // SIZES[name].count)
    for place, door in enumerate(doors):
        sheet, on_sheet = divmod(place, SIZES[name].count)
        assert read(cut(sheets[sheet], name, on_sheet)) == [door.link]


@pytest.mark.parametrize("name", ["a4-65", "a4-21", "letter-30"])
@pytest.mark.parametrize(
    "how", ["at half its size", "turned", "upside down", "out of focus", "pale", "scratched"]
)
def test_a_worn_code_is_read(name: str, how: str) -> None:
    [page] = pages(label_sheets(DOORS[:2], SIZES[name]))
    assert read(worn(cut(page, name, 1), how)) == [DOORS[1].link]


@pytest.mark.parametrize("name", ["a4-65", "a4-21", "letter-30"])
def test_a_place_of_four_words_or_more_is_printed_whole_where_there_is_room(name: str) -> None:
    place = "Ash Court, 1st floor, Stair A, landing"
    label = DoorLabel("AC/1/01", place, "", "https://example.org/start=d12")
    page = pypdfium2.PdfDocument(label_sheets([label], SIZES[name]))[0]
    assert " ".join(page.get_textpage().get_text_range().split()) == f"AC/1/01 {place}"


def test_a_sheet_that_was_begun_is_gone_on_with() -> None:
    [page] = pages(label_sheets(DOORS[:2], SIZES["a4-21"], skip=4))
    assert read(cut(page, "a4-21", 3)) == []
    assert read(cut(page, "a4-21", 4)) == [DOORS[0].link]
    assert len(pages(label_sheets(DOORS[:2], SIZES["a4-21"], skip=20), dpi=30)) == 2


@pytest.mark.parametrize("name", SIZES)
def test_no_label_draws_over_its_edge(name: str) -> None:
    """Long words too: what is cut off a label stands on the next one."""
    long = DoorLabel(
        "STAIR-A-LOBBY-0001.2",
        "by the second stair of the northern wing " * 3,
        "The Society for the Upkeep of Alder House and its Gardens",
        LINK,
    )
    [page] = pages(label_sheets([long], SIZES[name]))
    label = cut(page, name, 0)
    page.paste(
        255,
        (
            *(round(each * DPI / 25.4) for each in SIZES[name].margin),
            round(SIZES[name].margin[0] * DPI / 25.4) + label.width,
            round(SIZES[name].margin[1] * DPI / 25.4) + label.height,
        ),
    )
    assert page.getextrema() == (255, 255)


def test_a_plate_has_the_code_as_its_path_and_the_number_in_large_type() -> None:
    svg = ET.fromstring(plate_svg(DoorLabel("2.14 <A&B>", "stair", "Alder House", LINK)))
    name = "{http://www.w3.org/2000/svg}"
    assert (svg.get("width"), svg.get("viewBox")) == ("100mm", "0 0 100 50")
    words = {each.text: float(each.get("font-size", "0")) for each in svg.iter(f"{name}text")}
    assert list(words) == ["2.14 <A&B>", "stair", "Alder House"]
    assert words["2.14 <A&B>"] == max(words.values()) >= 7
    [path] = svg.iter(f"{name}path")
    image = Image.new("L", (1000, 500), 255)
    draw = ImageDraw.Draw(image)
    for move in path.get("d", "").split("M")[1:]:
        start, wide, high = move.split("h")[0], move.split("h")[1].split("v")[0], move.split("v")[1]
        x, y = map(float, start.split())
        box = (x, y, x + float(wide), y + float(high.split("h")[0]))
        draw.rectangle(
            [round(each * 10) for each in box[:2]] + [round(e * 10) - 1 for e in box[2:]], 0
        )
    assert read(image) == [LINK]


def test_the_code_has_spare_parts_for_a_quarter_of_it() -> None:
    rows = qr_rows(LINK)
    # ISO/IEC 18004 (from memory): at level Q version 5 holds 60 bytes and version 6 holds 74; a
    # side has 17 + 4 × version modules. The link has 64.
    assert len(LINK) == 64
    assert len(rows) == len(rows[0]) == 17 + 4 * 6


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    monkeypatch.setenv("DOORROUND_BOT_NAME", "alder_bot")
    monkeypatch.chdir(tmp_path)
    for number in ("12", "13", "2/4"):
        run("doors", "add", number, "--set", "site=Alder House", "--set", "place=by the lift")
    return home


def run(*words: str, code: int = 0) -> str:
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == code, result.output
    return result.output


def test_labels_of_all_doors_open_just_those_doors(home: Path, tmp_path: Path) -> None:
    from doorround.config.link_keys import load_keys
    from doorround.logbook.store import Logbook

    assert run("doors", "labels") == "labels.pdf: 3 labels on 1 sheet. Print at 100 %.\n"
    [page] = pages((tmp_path / "labels.pdf").read_bytes())
    with Logbook.open(home / "logbook.db") as logbook:
        found = []
        for text in read(page):
            assert text.startswith("https://t.me/alder_bot?start=d1a")
            link = read_payload(text.partition("=")[2])
            assert isinstance(link, DoorLink)
            found.append(door_of(link, logbook.labels(), load_keys(home)).number)  # type: ignore[union-attr]
    assert sorted(found) == ["12", "13", "2/4"]


def test_plates_are_files_of_their_own_and_what_cannot_be_made_says_why(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("doors", "labels", "12", "2/4", "--size", "plate", "--out", "made")
    assert sorted(each.name for each in (tmp_path / "made").iterdir()) == ["12.svg", "2_4.svg"]
    assert "--size a5: use one of a4-65" in run("doors", "labels", "--size", "a5", code=2)
    assert "There is no door 99" in run("doors", "labels", "99", code=2)
    monkeypatch.delenv("DOORROUND_BOT_NAME")
    assert "DOORROUND_BOT_NAME" in run("doors", "labels", "12", "--out", "x.pdf")


@pytest.mark.parametrize(
    ("size", "skip", "told"),
    [
        ("a4-21", "21", "--skip 21: a sheet of a4-21 has 21 labels. Use 0 to 20."),
        ("a4-65", "1000", "--skip 1000: a sheet of a4-65 has 65 labels. Use 0 to 64."),
        ("a4-1", "1", "--skip 1: a4-1 has one label per sheet. Leave --skip out."),
        ("plate", "3", "--skip 3: plate has one label per sheet. Leave --skip out."),
    ],
)
def test_more_labels_than_a_sheet_has_cannot_be_skipped(
    home: Path, tmp_path: Path, size: str, skip: str, told: str
) -> None:
    out = tmp_path / "labels.pdf"
    said = run("doors", "labels", "--size", size, "--skip", skip, "--out", str(out), code=2)
    assert told in said and not out.exists()


def test_without_the_fonts_of_the_extra_labels_are_printed_and_numbers_never_altered(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("doorround.reports.labels._font", lambda name: None)
    café = DoorLabel("12", "Café “Łódź”, by the second stair of the northern wing", "Ł", LINK)
    [page] = pages(label_sheets([café], SIZES["a4-21"]))
    assert read(page) == [LINK]
    with pytest.raises(ValueError, match="Door 12Ж: its number has letters"):
        label_sheets([DoorLabel("12Ж", "", "", LINK)], SIZES["a4-21"])
