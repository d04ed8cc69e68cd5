"""Drawings, pictures and charts, as SVG."""

from typing import TYPE_CHECKING

from bedwright.draw.season_chart import frost_chart, season_chart
from bedwright.draw.svg import Canvas, Placing, outline_path
from bedwright.ondemand import on_demand

if TYPE_CHECKING:
    from bedwright.draw.charts import (
        bloom_chart,
    )
    from bedwright.draw.drawing import (
        best_scale,
        grid_words,
        page_drawing,
        placing_of,
        planting_drawing,
        say_scale,
        variants,
    )
    from bedwright.draw.glyphs import (
        plant_symbol,
        shade,
        symbol_of,
    )
    from bedwright.draw.light_map import (
        sun_map,
    )
    from bedwright.draw.light_sheet import (
        light_chart,
    )
    from bedwright.draw.picture import (
        bed_picture,
        caption,
        season_moments,
    )
    from bedwright.draw.stakes import (
        stake_plan,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "Canvas",
    "Placing",
    "bed_picture",
    "best_scale",
    "bloom_chart",
    "caption",
    "frost_chart",
    "grid_words",
    "light_chart",
    "outline_path",
    "page_drawing",
    "placing_of",
    "plant_symbol",
    "planting_drawing",
    "say_scale",
    "season_chart",
    "season_moments",
    "shade",
    "stake_plan",
    "sun_map",
    "symbol_of",
    "variants",
]
