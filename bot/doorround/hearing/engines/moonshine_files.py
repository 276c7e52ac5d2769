"""Reads the second listener's model files: its vocabulary, and ONNX sessions."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

BYTES = range(3, 259)


def numbered(pieces: Sequence[bytes]) -> dict[bytes, int]:
    """Token ids, except those of single bytes, which encode characters without a token."""
    return {
        piece: number for number, piece in reversed(list(enumerate(pieces))) if number not in BYTES
    }


def session(model: Path) -> Any:
    """An ONNX model, single-threaded."""
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    # it would hold memory for the largest batch ever, 40 MB a worker, and is no faster
    options.enable_cpu_mem_arena = False
    return onnxruntime.InferenceSession(str(model), options, providers=["CPUExecutionProvider"])


def pieces(written: bytes) -> list[bytes]:
    """The vocabulary in order: for each token its length, one byte or two with the low seven bits
    first, then its characters.
    """
    pieces = list[bytes]()
    place = 0
    while place < len(written):
        length = written[place]
        place = place + 1
        if length >= 128:
            length = length - 128 + 128 * written[place]
            place = place + 1
        pieces.append(written[place : place + length])
        place += length
    return pieces
