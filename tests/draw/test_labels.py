"""Words set on a picture."""

from __future__ import annotations

from itertools import combinations

from bedwright.draw.labels import Labels
from bedwright.draw.svg import Canvas


def overlap(a: tuple[float, ...], b: tuple[float, ...]) -> float:
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return max(wide, 0.0) * max(high, 0.0)


def test_labels_about_one_spot_part_from_one_another_and_stay_on_the_picture() -> None:
    labels = Labels(Canvas(100.0, 80.0, ""), "#ffffff")
    labels.keep_free((40.0, 30.0, 60.0, 50.0))
    for n in range(6):
        labels.put((50.0, 40.0), [f"a long name {n}", "3 m"])
    for n in range(3):
        labels.put((99.0, 79.0), [f"in the corner {n}"])
    boxes = [box for box, _ in labels.taken]
    assert all(overlap(a, b) < 0.5 for a, b in combinations(boxes, 2))
    assert all(a >= 0 and b >= 0 and c <= 100 and d <= 80 for a, b, c, d in boxes)


def test_a_free_spot_is_taken_as_it_is() -> None:
    labels = Labels(Canvas(100.0, 80.0, ""), "#ffffff")
    labels.put((30.0, 20.0), ["oak"], 2.0)
    (left, top, right, bottom), _ = labels.taken[0]
    assert ((left + right) / 2, (top + bottom) / 2) == (30.0, 20.0)
