"""The drawing of a bed's light, as SVG and as PNG."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bedwright.draw import light_chart
from bedwright.export.folder import fill_folder, in_turn
from bedwright.export.press import to_png
from bedwright.report import Sunlit

LIGHT_FILES = ("light.svg", "light.png")


def write_light(
    lit: Sunlit, fortnights: slice, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the drawings of a bed's light, as write_sheets those of a plan."""
    canvas = light_chart(lit, fortnights)
    makers: dict[str, Callable[[], bytes]] = {
        "light.svg": lambda: canvas.render().encode(),
        "light.png": lambda: to_png(canvas),
    }
    return fill_folder(folder, in_turn(LIGHT_FILES, makers, progress))
