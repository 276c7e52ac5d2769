"""Pictures from a telephone, made into photos for the logbook: upright, and with nothing but what
they show.
"""

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
"""A picture of so many takes up to 560 MB to work on."""
MAX_OF = {"WEBP": 24_000_000}
"""Of these formats fewer: the reader of WebP takes 17 bytes a pixel."""
MAX_SIDE = 4096
"""Pixels kept: what a telephone's camera of 12 million gives stays as it is."""
QUALITY = 90


# HEIC, as telephones send it with a picture sent as a file
pi_heif.register_heif_opener()


class BadPicture(ValueError):
    """A picture cannot be kept. Says what to do, in one line."""


def clean(picture: bytes) -> bytes:
    """The picture as JPEG: turned the way it was held, at most MAX_SIDE a side, without any
    metadata.

    It is drawn anew, so that place, time, maker, owner, thumbnails and whatever hangs behind its
    end are gone. Raises BadPicture, and MemoryError where there is too little of that: see
    photo_process.py.
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
    except Exception as broken:  # bytes from outside make the readers of pictures fail in many ways
        raise BadPicture(photos.DAMAGED) from broken


def _drawn_anew(opened: Image.Image) -> bytes:
    if opened.width * opened.height > MAX_OF.get(opened.format or "", MAX_PIXELS):
        raise BadPicture(photos.TOO_LARGE)
    opened.draft(
        "RGB", (MAX_SIDE, MAX_SIDE)
    )  # has JPEG read smaller from the start; others ignore it
    # made smaller before it is turned: a turned copy of the whole takes as much memory again
    opened.thumbnail((MAX_SIDE, MAX_SIDE))
    flat = _on_white(_usual_colours(ImageOps.exif_transpose(opened)))
    bare = Image.frombytes("RGB", flat.size, flat.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _usual_colours(image: Image.Image) -> Image.Image:
    """As sRGB, since the profile that says what the colours are goes with the rest."""
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
    """What a photo's file is called."""
    return f"{sha256}.jpg"


def keep_photo(folder: Path, photo: bytes) -> str:
    """Store what clean() gave. Returns its SHA-256."""
    sha256 = hashlib.sha256(photo).hexdigest()
    keep_file(folder, photo_name(sha256), photo)
    return sha256
