"""The same words recorded once more, for written visits: another file with the same sound in it.

Nobody records the same bytes twice, so the talk takes a recording that comes twice for one. An Ogg
stream (RFC 3533) is made another by another serial number in its pages.
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
    """Of a page whose own checksum is zero: CRC-32 as RFC 3533, 6, has it, nothing reflected or
    inverted.
    """
    value = 0
    for byte in page:
        value = ((value << 8) & 0xFFFFFFFF) ^ _TABLE[(value >> 24) ^ byte]
    return value


def retaken(recording: bytes, serial: int) -> bytes:
    """A recording with that serial number (32 bits) in every page.

    What is no Ogg stream comes back as it is.
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
