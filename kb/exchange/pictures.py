"""Pictures opened safely: their kind, size and soundness before they are unpacked."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kb.errors import InputError

Gray = NDArray[np.float32]

MOST_PIXELS = 89_000_000
LARGEST = 60_000_000  # bytes
KINDS = ("PNG", "JPEG", "TIFF")
ACCEPTED = "a PNG, JPEG or TIFF picture of at most 89 million pixels"


def vision_library() -> Any:
    """OpenCV, loaded when it is needed.

    Raises:
        InputError: the extra for scans is not installed.
    """
    try:
        import cv2
    except ModuleNotFoundError:
        raise InputError(
            "picture", "(scan)", "pictures need the extra: pip install 'trialfit[scan]'"
        ) from None
    return cv2


def bytes_of(source: Path | str | bytes, named: str) -> bytes:
    """The bytes of a file, its size looked at before it is read.

    Raises:
        InputError: no such file, or too large a one.
    """
    if isinstance(source, bytes):
        written = source
    else:
        try:
            if Path(source).stat().st_size > LARGEST:
                raise InputError("picture", named, f"a file of at most {LARGEST // 10**6} MB")
            written = Path(source).read_bytes()
        except OSError:
            raise InputError("picture", named, "no such file, or it cannot be read") from None
    if len(written) > LARGEST:
        raise InputError("picture", named, f"a file of at most {LARGEST // 10**6} MB")
    return written


def unpack(written: bytes, named: str) -> Gray:
    """A picture in shades of grey; its header is read before the rest is unpacked.

    Raises:
        InputError: no picture, too large, damaged, or of a kind that is not taken.
    """
    vision_library()
    from PIL import ImageOps, UnidentifiedImageError
    from PIL.Image import DecompressionBombError
    from PIL.Image import open as unpacked

    try:
        with unpacked(io.BytesIO(written), formats=KINDS) as opened:
            across, down = opened.size
            if across * down > MOST_PIXELS:
                raise InputError("picture", f"{across} × {down} pixels", ACCEPTED)
            if min(across, down) < 40:
                raise InputError("picture", f"{across} × {down} pixels", "it is too small to find holes in")  # fmt: skip
            grey = ImageOps.exif_transpose(opened).convert("L")
            return np.asarray(grey, dtype=np.float32)
    except DecompressionBombError:
        raise InputError(
            "picture", named, f"its header claims too many pixels; {ACCEPTED}"
        ) from None
    except UnidentifiedImageError:
        raise InputError("picture", named, ACCEPTED) from None
    except InputError:
        raise
    except (OSError, ValueError, SyntaxError, MemoryError):
        raise InputError("picture", named, f"it is damaged or cut short; {ACCEPTED}") from None
