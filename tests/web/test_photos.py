"""Photos: decoded with care, shrunk, stripped, and found again by what is in them."""

import hashlib
import io
import sys
from pathlib import Path
from uuid import UUID

import pytest
from fastapi import FastAPI
from PIL import Image
from starlette.testclient import TestClient

from gaugewalk.errors import ArgumentError, NotFoundError
from gaugewalk.journal.ids import new_id
from gaugewalk.watch.photos import LARGEST, Photos, stripped
from gaugewalk.watch.service import Watch
from gaugewalk.web.door import Door

from .seeded import NOW


def picture(size: tuple[int, int] = (800, 600), form: str = "JPEG", **more: object) -> bytes:
    out = io.BytesIO()
    Image.effect_noise(size, 30).convert("RGB").save(out, form, **more)
    return out.getvalue()


@pytest.fixture
def photos(app: FastAPI, watch: Watch, tmp_path: Path) -> Photos:
    kept = Photos(folder=tmp_path / "photos")
    app.state.door = Door(watch=watch, clock=lambda: NOW, photos=kept)
    return kept


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_photo_of_each_kind_becomes_a_bare_jpeg(form: str) -> None:
    exif = Image.Exif()
    exif[0x010E] = "Who and where"
    exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)
    kept = stripped(picture((2400, 1200), form, exif=exif))
    with Image.open(io.BytesIO(kept)) as shown:
        assert shown.format == "JPEG"
        assert shown.size == (1600, 800)
        assert not shown.getexif()
        assert set(shown.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"Who and where" not in kept


def test_a_photo_taken_lying_is_kept_upright() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    with Image.open(io.BytesIO(stripped(picture((400, 200), exif=exif)))) as shown:
        assert shown.size == (200, 400)


def bomb() -> bytes:
    """A small PNG that says it is 20,000 x 20,000."""
    data = bytearray(picture((8, 8), "PNG"))
    import struct
    import zlib

    data[16:24] = struct.pack(">II", 20_000, 20_000)
    data[29:33] = struct.pack(">I", zlib.crc32(bytes(data[12:29])))
    return bytes(data)


@pytest.mark.parametrize(
    "data",
    [
        b"", b"no picture", b"\xff\xd8\xff\xe0", picture()[:2000], bomb(), b"<svg/>",
        picture(form="GIF"), picture(form="TIFF"), b"\x00" * (LARGEST + 1),
    ],
)  # fmt: skip
def test_what_is_no_photo_is_refused_in_words(data: bytes) -> None:
    with pytest.raises(ArgumentError, match=r"photo|PNG"):
        stripped(data)


def test_a_photo_is_found_by_what_is_in_it(tmp_path: Path) -> None:
    photos = Photos(folder=tmp_path)
    name = photos.keep(picture())
    assert hashlib.sha256(photos.path(name).read_bytes()).hexdigest() == name
    for wrong in ("../../etc/passwd", "a" * 64, "", name.upper()):
        with pytest.raises(NotFoundError):
            photos.path(wrong)


def test_a_form_keeps_a_photo_and_its_note_shows_it(client: TestClient, photos: Photos) -> None:
    answer = client.post(
        "/pump/W21A/photo",
        data={"text": "Sight glass", "back": "/pump/W21A"},
        files={"photo": ("a.jpg", picture(), "image/jpeg")},
    )
    assert answer.status_code == 303
    page = client.get("/pump/W21A").text
    assert "Note: Sight glass" in page
    name = next(photos.folder.rglob("*.jpg")).stem
    assert f'href="/photo/{name}.jpg"' in page
    shown = client.get(f"/photo/{name}.jpg")
    assert shown.headers["content-type"] == "image/jpeg"
    assert hashlib.sha256(shown.content).hexdigest() == name


def test_a_phone_sends_a_photo_twice_and_it_is_one(
    client: TestClient, photos: Photos, watch: Watch
) -> None:
    made = new_id(NOW)
    asked = {"tag": "W21A", "id": str(made), "text": "Gland", "seen_at": NOW.isoformat()}
    data = picture()
    for _ in range(2):
        assert client.post("/api/v1/photos", params=asked, content=data).status_code == 200
    assert len(list(photos.folder.rglob("*.jpg"))) == 1
    assert watch.journal.get(made).body["photo"] == next(photos.folder.rglob("*.jpg")).stem
    other = client.post("/api/v1/photos", params=asked, content=picture((300, 300)))
    assert other.status_code == 409
    assert isinstance(made, UUID)


def test_too_much_at_the_wrong_pump_or_without_a_folder(
    client: TestClient, photos: Photos, app: FastAPI, watch: Watch
) -> None:
    huge = client.post("/api/v1/photos", params={"tag": "W21A"}, content=b"\x00" * 13_000_000)
    assert huge.status_code == 413
    where = client.post("/api/v1/photos", params={"tag": "NOPE"}, content=picture())
    assert where.status_code == 404
    assert client.post("/pump/W21A/photo", data={"text": "x"}).status_code == 422
    assert not photos.folder.exists()
    app.state.door = Door(watch=watch, clock=lambda: NOW)
    assert (
        client.post("/api/v1/photos", params={"tag": "W21A"}, content=picture()).status_code == 404
    )


def test_without_the_library_for_pictures_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "PIL", None)
    with pytest.raises(ArgumentError, match=r"install gaugewalk\[phone\]"):
        stripped(b"\xff\xd8\xff")
