"""Door labels: sheets of QR codes as PDF for printing, and plates as SVG for engraving.

The sheet sizes are common retail formats (common practice, no source); measure one sheet before
printing fifty.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from doorround.messages.summaries import CAUTION

if TYPE_CHECKING:
    from fpdf import FPDF

QUIET = 4
"""Quiet zone round a code, in modules (ISO/IEC 18004)."""
MAX_CODE_MM = 60.0
DOTS = "..."
FONTS = {"": "DejaVuSans.ttf", "B": "DejaVuSans-Bold.ttf"}
_LEADING = 1.15
_POINT_MM = 25.4 / 72
_PLATE = (100.0, 50.0)


@dataclass(frozen=True)
class DoorLabel:
    """Contents of one label. place: location of the door. site: the site's name. link: encoded in
    the code.
    """

    number: str
    place: str
    site: str
    link: str


@dataclass(frozen=True)
class SheetSize:
    """A sheet of labels, in millimetres: the page, columns and rows, label size, left and top
    margins, and pitch from label to label.
    """

    page: tuple[float, float]
    columns: int
    rows: int
    label: tuple[float, float]
    margin: tuple[float, float]
    pitch: tuple[float, float]

    @property
    def count(self) -> int:
        return self.columns * self.rows


# Millimetres. Source: ISO 216
_A4 = (210.0, 297.0)
# 8.5 by 11 inches
_LETTER = (215.9, 279.4)
SIZES = {
    "a4-65": SheetSize(_A4, 5, 13, (38.1, 21.2), (4.75, 10.7), (40.6, 21.2)),
    "a4-24": SheetSize(_A4, 3, 8, (63.5, 33.9), (7.2, 12.9), (66.0, 33.9)),
    "a4-21": SheetSize(_A4, 3, 7, (63.5, 38.1), (7.2, 15.15), (66.0, 38.1)),
    "a4-14": SheetSize(_A4, 2, 7, (99.1, 38.1), (4.65, 15.15), (101.6, 38.1)),
    "a4-8": SheetSize(_A4, 2, 4, (99.1, 67.7), (4.65, 13.1), (101.6, 67.7)),
    "a4-1": SheetSize(_A4, 1, 1, (190.0, 130.0), (10.0, 20.0), (190.0, 130.0)),
    "letter-30": SheetSize(_LETTER, 3, 10, (66.7, 25.4), (4.8, 12.7), (69.85, 25.4)),
    "letter-10": SheetSize(_LETTER, 2, 5, (101.6, 50.8), (4.0, 12.7), (106.4, 50.8)),
}


def qr_rows(link: str) -> list[str]:
    """A QR code, one string per row of modules: "#" is dark. Without a quiet zone."""
    import segno

    # a quarter of it may be scratched or painted over
    code = segno.make(link, error="q", micro=False)
    return ["".join("#" if dark else " " for dark in row) for row in code.matrix]


def label_sheets(labels: Sequence[DoorLabel], size: SheetSize, skip: int = 0) -> bytes:
    """Label sheets as a PDF. skip: labels already used on the first sheet."""
    from fpdf import FPDF

    if _font(FONTS[""]) is None:
        labels = [_western(label) for label in labels]
    pdf = FPDF(unit="mm", format=size.page)
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.set_subject(CAUTION)
    _take_font(pdf)
    for place, label in enumerate(labels, skip):
        on_sheet = place % size.count
        if on_sheet == 0 or not pdf.pages:
            pdf.add_page()
        row, column = divmod(on_sheet, size.columns)
        left = size.margin[0] + column * size.pitch[0]
        top = size.margin[1] + row * size.pitch[1]
        _draw(pdf, label, left, top, *size.label)
    return bytes(pdf.output())


def _take_font(pdf: FPDF) -> None:
    """A font with all European letters if available; otherwise Helvetica, with Western letters
    only.
    """
    found = {style: _font(name) for style, name in FONTS.items()}
    for style, path in found.items():
        if path is not None:
            pdf.add_font("door", style, path)
    pdf.set_font("door" if all(found.values()) else "Helvetica")


def _western(label: DoorLabel) -> DoorLabel:
    """A label restricted to Helvetica's characters. Raises ValueError for a number outside them: a
    number is never altered in print.
    """
    try:
        label.number.encode("latin-1")
    except UnicodeEncodeError as error:
        raise ValueError(
            f"Door {label.number}: its number has letters that the printer's own font has not."
            " Run in doorround's checkout: pip install '.[plots]'."
        ) from error
    place, site = (
        text.encode("latin-1", "replace").decode("latin-1") for text in (label.place, label.site)
    )
    return DoorLabel(label.number, place, site, label.link)


@cache
def _font(name: str) -> Path | None:
    """A font bundled with matplotlib, which draws the summary's chart."""
    try:
        import matplotlib
    except ImportError:
        return None
    path = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name
    return path if path.is_file() else None


def _draw(
    pdf: FPDF, label: DoorLabel, left: float, top: float, width: float, height: float
) -> None:
    """One label: the code at the left, the number in large type beside it, then location
    and site.
    """
    rows = qr_rows(label.link)
    side = min(height, width * 0.5, MAX_CODE_MM + height * 0.1)
    module = side / (len(rows) + 2 * QUIET)
    pdf.set_fill_color(0)
    for x, y, wide in _runs(rows):
        pdf.rect(
            left + (QUIET + x) * module,
            top + (height - side) / 2 + (QUIET + y) * module,
            wide * module,
            module,
            style="F",
        )
    start, room = left + side, width - side - max(2.0, width * 0.03)
    below = _text(pdf, label.number, "B", start, top + height * 0.1, room, height * 0.36)
    small, smaller = height * 0.115, height * 0.09
    left_over = top + height * 0.96 - below - (smaller * _LEADING if label.site else 0)
    for line in _lines(pdf, label.place, room, small, max(2, int(left_over / (small * _LEADING)))):
        below = _text(pdf, line, "", start, below, room, small)
    _text(pdf, _cut(pdf, label.site, room, smaller), "", start, below, room, smaller)


def _runs(rows: Iterable[str]) -> Iterable[tuple[int, int, int]]:
    """Dark modules as left, top and width, horizontal neighbours merged."""
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            wide = len(row[x:]) - len(row[x:].lstrip("#"))
            if wide:
                yield x, y, wide
            x += wide or 1


def _text(
    pdf: FPDF, text: str, style: str, left: float, top: float, room: float, height: float
) -> float:
    """One line of text, shrunk to fit; the place below it."""
    pdf.set_font(style=style, size=height / _POINT_MM)
    wide = pdf.get_string_width(text)
    if wide > room:
        height *= room / wide
        pdf.set_font(style=style, size=height / _POINT_MM)
    pdf.text(left, top + height * 0.8, text)
    return top + height * _LEADING


def _lines(pdf: FPDF, text: str, room: float, height: float, most: int) -> list[str]:
    """A text in at most that many lines of that height; the overflow becomes an ellipsis."""
    lines: list[str] = []
    words = text.split()
    pdf.set_font(style="", size=height / _POINT_MM)
    while words and len(lines) < most - 1:
        line = words.pop(0)
        while words and pdf.get_string_width(f"{line} {words[0]}") <= room:
            line = f"{line} {words.pop(0)}"
        lines.append(line)
    rest = _cut(pdf, " ".join(words), room, height)
    return [*lines, rest] if rest else lines


def _cut(pdf: FPDF, text: str, room: float, height: float) -> str:
    """A text on one line of that height, truncated to fit."""
    pdf.set_font(style="", size=height / _POINT_MM)
    if pdf.get_string_width(text) <= room:
        return text
    while text and pdf.get_string_width(f"{text}{DOTS}") > room:
        text = text[:-1]
    return f"{text.rstrip()}{DOTS}"


def plate_svg(label: DoorLabel) -> str:
    """A plate for engraving, 100 × 50 mm, as SVG: the code as one path, the words as text."""
    width, height = _PLATE
    rows = qr_rows(label.link)
    module = height / (len(rows) + 2 * QUIET)
    path = "".join(
        f"M{(QUIET + x) * module:.3f} {(QUIET + y) * module:.3f}"
        f"h{wide * module:.3f}v{module:.3f}h-{wide * module:.3f}z"
        for x, y, wide in _runs(rows)
    )
    left = height
    room = width - left - 4
    lines = [
        (label.number, 17.0, 20.0, "bold"),
        (label.place, 31.0, 5.0, "normal"),
        (label.site, 41.0, 4.0, "normal"),
    ]
    words = "".join(
        f'<text x="{left:g}" y="{y:g}" font-size="{_fitting(text, size, room):.2f}"'
        f' font-weight="{weight}">{escape(text)}</text>'
        for text, y, size, weight in lines
        if text
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{height:g}mm"'
        f' viewBox="0 0 {width:g} {height:g}" font-family="sans-serif" fill="black">'
        f"<desc>{escape(CAUTION)}</desc>"
        f'<rect width="{width:g}" height="{height:g}" fill="white"/>'
        f'<path d="{path}"/>{words}</svg>\n'
    )


def _fitting(text: str, size: float, room: float) -> float:
    """A font size at which a text fits, assuming six tenths of it per letter."""
    return min(size, room / (0.62 * len(text)))
