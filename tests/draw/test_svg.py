"""The canvas: pictures as text."""

from __future__ import annotations

from collections.abc import Callable
from xml.etree import ElementTree

from bedwright.draw import bed_picture, page_drawing
from bedwright.draw.svg import Canvas
from bedwright.plan import Plan

ODD = "a < b & \"c\" > 'd'\n\t\r é ]]> &amp;"


def same(canvas: Canvas) -> bool:
    """Whether a picture's text is what the standard library makes of its elements."""
    body = ElementTree.tostring(canvas.root, encoding="unicode")
    return canvas.render() == f'<?xml version="1.0" encoding="UTF-8"?>\n{body}'


def test_a_picture_is_written_as_the_standard_library_writes_it(
    plan_of: Callable[[str], Plan],
) -> None:
    plan = plan_of("under-the-maple")
    assert same(page_drawing(plan))
    assert same(bed_picture(plan, 15))


def test_odd_letters_are_escaped_in_words_and_in_attributes() -> None:
    canvas = Canvas(10.0, 5.0, ODD, ODD)
    canvas.open("g", id=ODD)
    canvas.text((1.0, 2.0), ODD, data_name=ODD)
    canvas.text((1.0, 2.0), "")
    canvas.path("M0 0", class_="x", fill=None)
    canvas.close()
    canvas.open("g")
    canvas.close()
    assert same(canvas)
    read = ElementTree.fromstring(canvas.render())
    assert read.find("{*}g") is not None
    assert [one.get("data-name") for one in read.findall(".//{*}text")] == [ODD, None]
