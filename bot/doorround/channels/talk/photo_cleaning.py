"""Converts phone pictures into logbook photos: upright, without metadata."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pi_heif
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from doorround.channels.talk.blob_store import keep_file
from doorround.messages import photos

FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", "HEIF", "GIF", "BMP")
MAX_PIXELS = 60_000_000
"""A picture of this many pixels takes up to 560 MB to process."""
MAX_OF = {"WEBP": 24_000_000}
"""Lower limit for these formats: the WebP decoder takes 17 bytes a pixel."""
MAX_SIDE = 4096
"""Pixels retained: pictures from a 12-megapixel phone camera stay at full size."""
QUALITY = 90


# HEIC, sent by phones when a picture is sent as a file
pi_heif.register_heif_opener()


class BadPicture(ValueError):
    """A picture cannot be stored. Says what to do, in one line."""


def clean(picture: bytes) -> bytes:
    """The picture as JPEG: rotated as held, at most MAX_SIDE a side, without any metadata.

    It is re-encoded, which removes location, time, maker, owner, thumbnails and any trailing data.
    Raises BadPicture, and MemoryError if there is too little: see photo_process.py.
    """
    try:
        with Image.open(io.BytesIO(picture), formats=FORMATS) as opened:
            return _drawn_anew(opened)
    except (BadPicture, MemoryError):
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as large:
        raise BadPicture(photos.TOO_LARGE) from large
    except UnidentifiedImageError as unknown:
        raise BadPicture(photos.UNREADABLE) from unknown
    except Exception as broken:  # untrusted bytes make image decoders fail in many ways
        raise BadPicture(photos.DAMAGED) from broken


def _drawn_anew(opened: Image.Image) -> bytes:
    if opened.width * opened.height > MAX_OF.get(opened.format or "", MAX_PIXELS):
        raise BadPicture(photos.TOO_LARGE)
    opened.draft(
        "RGB", (MAX_SIDE, MAX_SIDE)
    )  # decodes JPEG at a reduced size; no effect on other formats
    # shrink before rotating: a rotated full-size copy would double the memory
    opened.thumbnail((MAX_SIDE, MAX_SIDE))
    flat = _on_white(_usual_colours(ImageOps.exif_transpose(opened)))
    bare = Image.frombytes("RGB", flat.size, flat.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _usual_colours(image: Image.Image) -> Image.Image:
    """Converted to sRGB, since the colour profile is removed with the other metadata."""
    profile = image.info.get("icc_profile")
    if not profile or image.mode not in ("RGB", "RGBA"):
        return image
    try:
        there = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return (
            ImageCms.profileToProfile(
                image, there, ImageCms.createProfile("sRGB"), outputMode=image.mode
            )
            or image
        )
    except (ImageCms.PyCMSError, OSError):
        return image


def _on_white(image: Image.Image) -> Image.Image:
    if image.mode == "RGB":
        return image
    if "A" not in image.mode and "transparency" not in image.info:
        return image.convert("RGB")
    layer = image.convert("RGBA")
    return Image.alpha_composite(Image.new("RGBA", layer.size, "white"), layer).convert("RGB")


def photos_beside(recordings: Path) -> Path:
    """The folder of the photos: `photos`, beside that of the recordings."""
    return recordings.parent / "photos"


def photo_name(sha256: str) -> str:
    """File name of a photo."""
    return f"{sha256}.jpg"


def keep_photo(folder: Path, photo: bytes) -> str:
    """Store clean()'s result. Returns its SHA-256."""
    sha256 = hashlib.sha256(photo).hexdigest()
    keep_file(folder, photo_name(sha256), photo)
    return sha256
