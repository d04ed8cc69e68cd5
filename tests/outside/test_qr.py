"""QR codes are read again by a decoder that nobody here wrote, nor the encoder's: ZXing-C++."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
import pytest
import zxingcpp

from bedwright.web.qr import BORDER, lines_of, svg_of

URLS = ["http://192.168.1.20:8137/", "http://10.0.0.1/", "http://[fd12:3456:789a:1::20]:8137/",
        "http://a-rather-long-name-for-a-garden-shed.local:8137/"]  # fmt: skip
LIGHT, DARK = 255, 0


def read(modules: np.ndarray) -> str:
    """What a code says, as a camera would see it: each module eight pixels wide."""
    seen = np.where(np.kron(modules, np.ones((8, 8))) > 0, DARK, LIGHT).astype(np.uint8)
    (found,) = zxingcpp.read_barcodes(seen)
    assert found.format == zxingcpp.BarcodeFormat.QRCode
    return str(found.text)


@pytest.mark.parametrize("url", URLS)
def test_the_lines_of_the_terminal(url: str) -> None:
    rows = []
    for line in lines_of(url):
        rows.append([one in "▀█" for one in line])
        rows.append([one in "▄█" for one in line])
    modules = np.array(rows)
    assert read(modules) == url
    # A border of four light modules: ISO/IEC 18004 (from memory).
    assert not modules[:BORDER].any()
    assert not modules[-BORDER:].any()
    assert not modules[:, :BORDER].any()
    assert not modules[:, -BORDER:].any()
    assert BORDER == 4


@pytest.mark.parametrize("url", URLS)
def test_the_picture_of_the_page(url: str) -> None:
    """Its one path, of lines a module high, is drawn here by hand."""
    svg = ElementTree.fromstring(svg_of(url))
    wide, high = (int(one) for one in svg.attrib["viewBox"].split()[2:])
    light, dark = svg.findall("path")
    assert (light.attrib["fill"], dark.attrib["stroke"]) == ("#fff", "#000")
    modules = np.zeros((high, wide), bool)
    x = y = 0.0
    for command in (
        dark.attrib["d"].replace("h", " h").replace("m", " m").replace("M", " M").split(" m")
    ):
        steps = command.replace("M", "").split(" h")
        dx, dy = (float(one) for one in steps[0].replace("-", " -").split())
        x, y = x + dx, y + dy
        for step in steps[1:]:
            modules[int(y), int(x) : int(x + float(step))] = True
            x += float(step)
    assert read(modules) == url
