"""A fresh take of the same recording, for scripted visits: a different file with the same sound.

Nobody records the same bytes twice, so the talk treats an identical recording as a duplicate. An
Ogg stream (RFC 3533) is made distinct by changing the serial number in its pages.
"""

from __future__ import annotations

_POLYNOMIAL = 0x04C11DB7
_SERIAL = slice(14, 18)
_SUM = slice(22, 26)
_LACING = 26


def _step(top: int) -> int:
    value = top << 24
    for _ in range(8):
        value = (value << 1) ^ (_POLYNOMIAL if value & 0x80000000 else 0)
    return value & 0xFFFFFFFF


_TABLE = tuple(_step(top) for top in range(256))


def checksum(page: bytes) -> int:
    """Of a page with its checksum field zeroed: CRC-32 as in RFC 3533, 6, with no reflection or
    inversion.
    """
    value = 0
    for byte in page:
        value = ((value << 8) & 0xFFFFFFFF) ^ _TABLE[(value >> 24) ^ byte]
    return value


def retaken(recording: bytes, serial: int) -> bytes:
    """A recording with that serial number (32 bits) in every page.

    Anything but an Ogg stream is returned unchanged.
    """
    out = bytearray()
    place = 0
    while recording[place : place + 4] == b"OggS" and place + _LACING < len(recording):
        lacings = recording[place + _LACING]
        sizes = recording[place + _LACING + 1 : place + _LACING + 1 + lacings]
        page = bytearray(recording[place : place + _LACING + 1 + lacings + sum(sizes)])
        page[_SERIAL] = serial.to_bytes(4, "little")
        page[_SUM] = bytes(4)
        page[_SUM] = checksum(bytes(page)).to_bytes(4, "little")
        out += page
        place += len(page)
    return bytes(out) + recording[place:]
