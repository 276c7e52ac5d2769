"""A picture becomes a photo that shows what it showed and says nothing else."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest
from PIL import Image, ImageCms, PngImagePlugin
from PIL.ExifTags import GPS, Base

from doorround.channels.talk.photo_cleaning import MAX_SIDE, BadPicture, clean, keep_photo
from doorround.messages.photos import DAMAGED, TOO_LARGE, UNREADABLE


def picture(
    format: str = "JPEG", size: tuple[int, int] = (160, 120), mode: str = "RGB", **more: object
) -> bytes:
    """Green, and red at the top left."""
    image = Image.new(mode, size, "green" if mode != "L" else 90)
    image.paste("red" if mode != "L" else 200, (0, 0, size[0] // 4, size[1] // 4))
    out = io.BytesIO()
    image.save(out, format, **more)
    return out.getvalue()


def telephone(orientation: int = 1) -> bytes:
    """With maker, place and comment, and something hung behind its end."""
    exif = Image.Exif()
    exif[Base.Make] = "Some Maker"
    exif[Base.Orientation] = orientation
    exif.get_ifd(0x8825)[GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>Ines</x:xmpmeta>"
    return picture(exif=exif, comment=b"Ines was here", xmp=xmp, quality=95) + b"a film of the room"


def blank(width: int, height: int) -> bytes:
    """A small file of many pixels."""
    out = io.BytesIO()
    Image.new("1", (width, height)).save(out, "PNG", compress_level=1)
    return out.getvalue()


def is_red(photo: bytes, x: float, y: float) -> bool:
    with Image.open(io.BytesIO(photo)) as image:
        red, green, _ = image.convert("RGB").getpixel(
            (round(x * image.width), round(y * image.height))
        )
        return red > 150 and green < 80


def test_maker_place_comment_and_what_hangs_behind_are_gone():
    raw = telephone()
    photo = clean(raw)
    for told in (b"Some Maker", b"Ines", b"Exif", b"xmpmeta", b"a film of the room"):
        assert told in raw and told not in photo
    with Image.open(io.BytesIO(photo)) as image:
        assert not image.getexif() and set(image.info) <= {
            "jfif",
            "jfif_version",
            "jfif_unit",
            "jfif_density",
        }


CORNERS = [(1, (0.1, 0.1)), (3, (0.9, 0.9)), (6, (0.9, 0.1)), (8, (0.1, 0.9))]


@pytest.mark.parametrize(("orientation", "red_at"), CORNERS)
def test_a_photo_stands_the_way_it_was_held(orientation, red_at):
    photo = clean(telephone(orientation))
    assert is_red(photo, *red_at)
    with Image.open(io.BytesIO(photo)) as image:
        assert image.size == ((120, 160) if orientation in (6, 8) else (160, 120))


def test_every_usual_format_becomes_jpeg():
    text = PngImagePlugin.PngInfo()
    text.add_text("Author", "Ines")
    for raw in (
        picture("PNG", pnginfo=text),
        picture("WEBP"),
        picture("GIF"),
        picture("BMP"),
        picture(mode="L"),
    ):
        photo = clean(raw)
        assert photo.startswith(b"\xff\xd8") and b"Ines" not in photo


def test_what_is_clear_becomes_white():
    out = io.BytesIO()
    Image.new("RGBA", (40, 40), (0, 0, 0, 0)).save(out, "PNG")
    with Image.open(io.BytesIO(clean(out.getvalue()))) as image:
        assert min(image.getpixel((20, 20))) > 250


def test_a_colour_profile_is_applied_before_it_goes():
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    photo = clean(picture(icc_profile=profile))
    assert is_red(photo, 0.1, 0.1) and b"ICC_PROFILE" not in photo


def test_a_large_picture_is_made_smaller():
    with Image.open(io.BytesIO(clean(picture(size=(5200, 1300))))) as image:
        assert image.size == (MAX_SIDE, MAX_SIDE // 4)


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        (picture()[:-400], DAMAGED),
        (picture("PNG", size=(400, 400))[:300], DAMAGED),
        (b"\xff\xd8\xff\xe0 no picture", DAMAGED),
        (b"", UNREADABLE),
        (b"%PDF-1.7 a page", UNREADABLE),
        (blank(8000, 8000), TOO_LARGE),
        (blank(9600, 9600), TOO_LARGE),
        (blank(14000, 14000), TOO_LARGE),
    ],
    ids=[
        "cut off",
        "png cut off",
        "only a beginning",
        "empty",
        "a page",
        "many pixels",
        "too many",
        "far too many",
    ],
)
def test_what_cannot_be_kept_is_refused_with_what_to_do(raw, why):
    with pytest.raises(BadPicture) as bad:
        clean(raw)
    assert str(bad.value) == why


def test_a_photo_lies_under_the_hash_of_what_is_stored(tmp_path: Path):
    photo = clean(telephone())
    sha256 = keep_photo(tmp_path / "photos", photo)
    [file] = (tmp_path / "photos").iterdir()
    assert file.name == f"{sha256}.jpg"
    assert hashlib.sha256(file.read_bytes()).hexdigest() == sha256
    assert keep_photo(tmp_path / "photos", photo) == sha256


# 480 × 320, drawn for this test, green with red at the top left; with a maker and a place. Encoded
# by libheif.
HEIC = (Path(__file__).parent / "door.heic").read_bytes()


def test_heic_as_telephones_send_it_becomes_a_photo_like_any_other():
    photo = clean(HEIC)
    assert b"Some Maker" in HEIC and b"Some Maker" not in photo
    with Image.open(io.BytesIO(photo)) as image:
        assert (image.format, image.size) == ("JPEG", (480, 320))
    assert is_red(photo, 0.1, 0.1) and not is_red(photo, 0.5, 0.5)


@pytest.mark.parametrize("cut", (300, 700))
def test_heic_that_was_cut_off_is_told_and_not_kept(cut):
    with pytest.raises(BadPicture) as bad:
        clean(HEIC[:cut])
    assert str(bad.value) in (DAMAGED, UNREADABLE)
