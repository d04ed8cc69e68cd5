"""Write the README's pictures from an example.

Usage: ``python tools/write_images.py`` (after ``tools/fetch_clemson.py``)
"""

from datetime import date
from pathlib import Path

from bedwright.catalogue import load_catalogue
from bedwright.draw.drawing import page_drawing
from bedwright.draw.light_sheet import light_chart
from bedwright.draw.picture import bed_picture
from bedwright.draw.season_chart import season_chart
from bedwright.export.press import to_png
from bedwright.growth import outlook_of
from bedwright.inputs.gather import gather
from bedwright.plan import make_plan

ROOT = Path(__file__).parents[1]

if __name__ == "__main__":
    catalogue = load_catalogue()
    path = ROOT / "examples/front-walk-oval.toml"
    brief, weather = gather(path, catalogue, date(2026, 11, 25))
    plan = make_plan(brief, catalogue=catalogue, weather=weather)
    out = ROOT / "docs/images"
    out.mkdir(exist_ok=True)
    drawing = page_drawing(plan)
    (out / "planting.png").write_bytes(to_png(drawing, 120))
    fullest = int(plan.planting.bloom_share().argmax())
    (out / "in-bloom.png").write_bytes(to_png(bed_picture(plan, fullest), 120))
    brief, weather = gather(ROOT / "examples/under-the-maple.toml", catalogue, date(2026, 11, 25))
    shaded = make_plan(brief, catalogue=catalogue, weather=weather)
    (out / "light.png").write_bytes(to_png(light_chart(shaded, slice(7, 22)), 120))
    outlook = outlook_of(plan.season)
    (out / "season.png").write_bytes(to_png(season_chart(outlook, plan.brief.units), 120))
