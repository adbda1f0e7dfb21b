"""Photos with an observation: decoded with care, shrunk, stripped, kept by what is in them.

A photo is a file beside the journal named by its SHA-256, which also stands in the entry: the file
cannot be exchanged without it showing. Of what the camera wrote beside the picture (place, time,
device) nothing is kept.
"""

import hashlib
import io
import os
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from gaugewalk.errors import ArgumentError, NotFoundError, StorageError, extra

if TYPE_CHECKING:
    from PIL import Image

LARGEST = 12_000_000  # bytes as sent
MOST_PIXELS = 60_000_000  # before a picture is unpacked: what a phone's camera makes, and no bomb
SIDE = 1600  # pixels of the longer side as kept; a gauge is still read at that
QUALITY = 80
FORMATS = ("JPEG", "PNG", "WEBP")
_NAME = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Photos:
    """The folder of photos beside a journal."""

    folder: Path

    def keep(self, data: bytes) -> str:
        """Keep a photo; return the SHA-256 of what is kept, by which it is found again.

        Raises
        ------
        ArgumentError
            It is no picture, or too large.
        StorageError
            It could not be written.
        """
        kept = stripped(data)
        name = hashlib.sha256(kept).hexdigest()
        target = self.folder / name[:2] / f"{name}.jpg"
        if not target.exists():
            _write(target, kept)
        return name

    def path(self, name: str) -> Path:
        """Return the file of a photo.

        Raises
        ------
        NotFoundError
            There is no such photo.
        """
        if not _NAME.fullmatch(name):
            raise NotFoundError(f"There is no photo {name[:40]!r}.")
        target = self.folder / name[:2] / f"{name}.jpg"
        if not target.is_file():
            raise NotFoundError(f"The photo {name[:12]}… is not here.")
        return target


def stripped(data: bytes) -> bytes:
    """Return a picture anew as JPEG: upright, shrunk, with nothing but its pixels.

    Raises
    ------
    ArgumentError
        It is no picture of a kind we read, or too large.
    """
    with extra("phone", "A photo"):
        from PIL import Image, UnidentifiedImageError
    if len(data) > LARGEST:
        raise ArgumentError(
            f"The photo has {len(data) / 1e6:.0f} MB; expected at most {LARGEST / 1e6:.0f} MB."
        )
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
            return _shrunk(picture)
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError) as error:
        raise ArgumentError(
            f"This is no photo that can be read; expected {', '.join(FORMATS)}."
        ) from error
    except SyntaxError as error:  # what the PNG reader raises for a broken chunk
        raise ArgumentError("This PNG is broken; take the photo again.") from error


def _shrunk(picture: "Image.Image") -> bytes:
    from PIL import Image, ImageOps

    width, height = picture.size
    if width * height > MOST_PIXELS:
        raise ArgumentError(
            f"The photo has {width} x {height} pixels; expected at most {MOST_PIXELS / 1e6:.0f} "
            "million."
        )
    picture.draft("RGB", (SIDE, SIDE))  # unpacks a JPEG at a fraction of its size
    upright = ImageOps.exif_transpose(picture).convert("RGB")
    upright.thumbnail((SIDE, SIDE))
    bare = Image.new("RGB", upright.size)  # without anything that was beside the pixels
    bare.paste(upright)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def _write(target: Path, data: bytes) -> None:
    """Write beside the target and move in place, so that half a photo is never found."""
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=target.parent, delete=False) as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(file.name).replace(target)
    except OSError as error:
        raise StorageError(f"The photo could not be written: {error.strerror}.") from error
