"""Reads weights from a CTranslate2 model.bin, by name."""

from __future__ import annotations

import struct
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

VERSION = 6
"""Supported format version."""

KINDS = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}
"""CTranslate2's data type ids."""


def read_weights(model: Path, wanted: str) -> dict[str, NDArray[np.float32]]:
    """Every tensor whose name begins with `wanted`, as float32, in its own shape; int8 is
    dequantised.

    Raises ValueError for another version or type.
    """
    found: dict[str, NDArray[np.float32]] = {}
    with model.open("rb") as stream:
        version = _number(stream, "I")
        if version != VERSION:
            raise ValueError(
                f"{model.name} is of version {version}; only {VERSION} can be read. Convert it"
                " again."
            )
        _text(stream)
        _number(stream, "I")
        for _ in range(_number(stream, "I")):
            name = _text(stream)
            shape = [_number(stream, "I") for _ in range(_number(stream, "B"))]
            kind = _number(stream, "B")
            size = _number(stream, "I")
            if not name.startswith(wanted):
                stream.seek(size, 1)
            elif kind not in KINDS:
                raise ValueError(f"{model.name}: {name} is of kind {kind}, which cannot be read.")
            else:
                values = np.frombuffer(stream.read(size), dtype=KINDS[kind])
                found[name] = values.reshape(shape).astype(np.float32)
    return {name: _scaled(name, value, found) for name, value in found.items()}


def _scaled(
    name: str, value: NDArray[np.float32], found: dict[str, NDArray[np.float32]]
) -> NDArray[np.float32]:
    scale = found.get(f"{name}_scale")
    return value if scale is None else value / scale.reshape(-1, *[1] * (value.ndim - 1))


def _number(stream: BinaryIO, kind: str) -> int:
    return int(struct.unpack(f"<{kind}", stream.read(struct.calcsize(kind)))[0])


def _text(stream: BinaryIO) -> str:
    return stream.read(_number(stream, "H")).rstrip(b"\0").decode("utf-8")
