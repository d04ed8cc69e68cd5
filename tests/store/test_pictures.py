"""What photographs say by themselves: their form, the day on which they were taken, a small one."""

from __future__ import annotations

import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from bedwright.store import small_of
from bedwright.store.pictures import MOST_PIXELS, picture_type, taken_on
from pictures import gps, heic, photograph, tiff

DAY = date(2026, 5, 20)
FORMS = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WEBP"}


@pytest.mark.parametrize(("kind", "form"), FORMS.items())
def test_a_form_is_told_by_how_a_file_begins(kind: str, form: str) -> None:
    """Of files that Pillow wrote."""
    assert picture_type(photograph(form=form)) == kind


@pytest.mark.parametrize(
    ("begins", "kind"),
    [
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "image/heic"),
        (b"\0\0\0\x1cftypmif1\0\0\0\0mif1heicmiaf", "image/heic"),
        (b"\0\0\0\x1cftypmif1\0\0\0\0mif1avifmiaf", None),
        (b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", None),
        (b"\0\0\0\x18ftypisom\0\0\0\0mp41isom", None),
        (b"GIF89a" + bytes(20), None),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", None),
        (b"<?xml version='1.0'?><svg/>", None),
        (b"<html>", None),
        (b"RIFF\0\0\0\0WAVEfmt ", None),
        (b"%PDF-1.7", None),
        (b"\xff\xd8", None),
        (b"", None),
    ],
)
def test_other_files_are_no_photographs(begins: bytes, kind: str | None) -> None:
    assert picture_type(begins) == kind


@pytest.mark.parametrize("form", FORMS.values())
@pytest.mark.parametrize("order", ["<", ">"])
def test_the_day_on_which_it_was_taken(form: str, order: str) -> None:
    """Its Exif is laid out by hand after CIPA DC-008, in both orders of bytes."""
    made = io.BytesIO()
    exif = b"Exif\0\0" + tiff("2026:05:20 23:59:59", order)
    Image.new("RGB", (8, 8)).save(made, form, exif=exif)
    assert taken_on(made.getvalue()) == DAY


def test_of_heic_the_exif_part_is_read() -> None:
    assert taken_on(heic(DAY)) == DAY
    assert taken_on(heic()) is None


@pytest.mark.parametrize(
    "taken", ["0000:00:00 00:00:00", "    :  :     :  :  ", "2026:13:01 00:00:00", "2026-05-20",
              "20 May 2026", ""],
)  # fmt: skip
def test_a_clock_that_was_never_set_says_no_day(taken: str) -> None:
    assert taken_on(photograph(taken)) is None


@pytest.mark.parametrize("form", FORMS.values())
def test_a_photograph_without_a_day_says_none(form: str) -> None:
    assert taken_on(photograph(form=form)) is None


def test_another_time_of_exif_is_not_when_it_was_taken() -> None:
    made = io.BytesIO()
    exif = b"Exif\0\0" + tiff("2026:05:20 10:00:00", tag=0x9004)
    Image.new("RGB", (8, 8)).save(made, "JPEG", exif=exif)
    assert taken_on(made.getvalue()) is None


@given(st.binary(max_size=400), st.sampled_from([b"", b"\xff\xd8\xff\xe1", b"\x89PNG\r\n\x1a\n",
                                                 b"RIFF\0\0\0\0WEBP", heic(DAY)[:40]]))  # fmt: skip
def test_no_file_is_too_damaged_to_be_looked_at(rest: bytes, begins: bytes) -> None:
    body = begins + rest
    assert picture_type(body) in {None, *MOST_PIXELS, "image/heic"}
    assert small_of(body, 64) is None
    assert taken_on(body) is None or isinstance(taken_on(body), date)


@given(st.integers(4, 700), st.integers(0, 255))
def test_a_photograph_with_a_byte_changed_is_looked_at(at: int, value: int) -> None:
    body = bytearray(photograph(DAY))
    body[min(at, len(body) - 1)] = value
    small_of(bytes(body), 64)
    assert taken_on(bytes(body)) is None or isinstance(taken_on(bytes(body)), date)


@pytest.mark.parametrize("form", FORMS.values())
def test_a_small_one_fits_and_has_its_colour(form: str) -> None:
    small = small_of(photograph(form=form, size=(1200, 800), colour=(200, 60, 120)), 320)
    assert small is not None
    picture = Image.open(io.BytesIO(small))
    assert (picture.format, picture.size) == ("JPEG", (320, 213))
    assert picture.getpixel((100, 100)) == pytest.approx((200, 60, 120), abs=6)


def test_a_small_one_stands_upright() -> None:
    """An orientation of 6 is a camera held upright (CIPA DC-008): wide in the file, tall to see."""
    small = small_of(photograph(size=(1200, 800), turned=6), 320)
    assert small is not None
    assert Image.open(io.BytesIO(small)).size == (213, 320)


def test_a_small_one_does_not_say_where_it_was_taken() -> None:
    body = gps(DAY)
    assert taken_on(body) == DAY
    small = small_of(body, 320)
    assert small is not None
    assert Image.open(io.BytesIO(small)).getexif() == {}


def test_what_cannot_be_made_small_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = photograph(size=(600, 400))
    assert small_of(heic(DAY), 320) is None
    assert small_of(whole[: len(whole) // 2], 320) is None
    monkeypatch.setitem(MOST_PIXELS, "image/jpeg", 600 * 400 - 1)
    assert small_of(whole, 320) is None
