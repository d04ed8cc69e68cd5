"""Daily records of one invented place in every form that is read, spoiled in one to three ways."""

from __future__ import annotations

import calendar
import math
import random
from collections.abc import Callable
from datetime import date, timedelta
from functools import cache

FIRST, YEARS = date(2009, 1, 1), 12

Day = tuple[date, int, int, int]
"""A date, and its minimum, maximum (tenths of °C) and rain (tenths of mm)."""


@cache
def weather() -> tuple[Day, ...]:
    """Twelve years of a temperate place: what every record says before it is spoiled."""
    rng = random.Random(1)
    days, mild = [], 0.0
    for n in range(int(365.25 * YEARS)):
        mild = 0.7 * mild + rng.gauss(0, 2.5)
        mean = 11 - 11 * math.cos(2 * math.pi * (n - 15) / 365.25) + mild
        spread = rng.uniform(3, 7)
        rain = round(rng.expovariate(1 / 60)) if rng.random() < 0.3 else 0
        low, high = round(10 * (mean - spread)), round(10 * (mean + spread))
        days.append((FIRST + timedelta(days=n), low, high, rain))
    return tuple(days)


@cache
def _dly() -> str:
    """The record as a fixed-width station file."""
    by_day = {day[0]: day[1:] for day in weather()}
    lines = []
    for n in range(12 * YEARS):
        year, month = FIRST.year + n // 12, n % 12 + 1
        for k, element in enumerate(("TMIN", "TMAX", "PRCP")):
            cells = []
            for d in range(1, 32):
                when = date(year, month, min(d, calendar.monthrange(year, month)[1]))
                known = by_day.get(when) if when.day == d else None
                cells.append("-9999   " if known is None else f"{known[k]:>5}  7")
            lines.append(f"USC00012345{year}{month:02d}{element}{''.join(cells)}")
    return "\n".join(lines) + "\n"


@cache
def _by_station() -> str:
    """The record as a CSV with one reading a line."""
    return "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + "".join(
        f"USC00012345,{when:%Y%m%d},{element},{value},,,7,0700\n"
        for when, *values in weather()
        for element, value in zip(("TMIN", "TMAX", "PRCP"), values, strict=True)
    )


@cache
def _summaries() -> str:
    """The record as a CSV with one day a line and attributes."""
    head = '"STATION","DATE","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN",'
    return f'{head}"TMIN_ATTRIBUTES"\n' + "".join(
        f'"USC00012345","{when}","HERE, XX","{rain:>5}",",,7","{high:>5}",",,7","{low:>5}",",,7"\n'
        for when, low, high, rain in weather()
    )


def _table(rng: random.Random) -> str:
    """The record as a spreadsheet might write it."""
    mark = rng.choice(",,;\t")
    style = rng.choice(
        ("%Y-%m-%d",) * 4 + ("%d.%m.%Y", "%m/%d/%Y", "%d/%m/%Y", "%d-%m-%Y", "%Y%m%d", "%d.%m.%y")
    )
    fahrenheit = rng.random() < 0.3
    unit = rng.choice(("", "_f" if fahrenheit else "_c"))
    comma = mark != "," and rng.random() < 0.5

    def said(tenths: int) -> str:
        degrees = tenths / 10
        text = f"{degrees * 1.8 + 32:.1f}" if fahrenheit else f"{degrees:.1f}"
        return text.replace(".", ",") if comma else text

    def rain_said(tenths: int) -> str:
        text = f"{tenths / 254:.2f}" if fahrenheit else f"{tenths / 10:.1f}"
        return text.replace(".", ",") if comma else text

    lines = [mark.join(("date", f"tmin{unit}", f"tmax{unit}", "rain"))]
    for when, low, high, rain in weather():
        lines.append(mark.join((when.strftime(style), said(low), said(high), rain_said(rain))))
    return "\n".join(lines) + "\n"


ODD = (
    "1e400", "-1e400", "nan", "inf", "-inf", "9" * 5000, "1" * 400 + ".5", "", " ", "-", "−5", "–3",
    "0x10", "1_0", "٣", "1,5", "1.5.5", "5 °C", "T", "999", "-9999", "99999", "-0", "1e-400", "\0",
    "\x1b[2J", "=1+1", "#REF!", "NULL", "'5", "1e99", "5e", "(5)", "½", "\u202e5", "two", "--", "*",
)  # fmt: skip
ODD_DATES = (
    "0000-01-01", "0001-01-01", "9999-12-31", "2009-02-30", "2009-13-01", "20090101", "1/1/09",
    "2009-W01-1", "2009-001", "2009-01-01T25:61", "2009-01-01T12:00:00+14:00", "01.13.2011",
    "13.01.2011", "Mon", "39814", "2009", "-2009-01-01", "99999-01-01", "２００９-01-01", "\t",
)  # fmt: skip

Lines = list[str]


def _mark(lines: Lines) -> str:
    return max(",;\t", key=lines[0].count) if lines and lines[0] else ","


def _some(rng: random.Random, lines: Lines) -> list[int]:
    """One line, a stretch of them, one in so many, or all below the first."""
    if len(lines) < 3:
        return []
    way, at = rng.randrange(4), rng.randrange(1, len(lines))
    if way == 0:
        return [at]
    if way == 1:
        return list(range(at, min(at + rng.randrange(1, len(lines)), len(lines))))
    if way == 2:
        return list(range(at % 7 + 1, len(lines), rng.choice((2, 3, 7, 30, 400))))
    return list(range(1, len(lines)))


def _cells(rng: random.Random, lines: Lines, change: Callable[[list[str]], list[str]]) -> Lines:
    mark = _mark(lines)
    for n in _some(rng, lines):
        lines[n] = mark.join(change(lines[n].split(mark)))
    return lines


def odd_number(rng: random.Random, lines: Lines) -> Lines:
    """Odd text in the place of a number."""
    odd, back = rng.choice(ODD), rng.randrange(1, 6)
    return _cells(
        rng,
        lines,
        lambda cells: [odd if n == len(cells) - back else c for n, c in enumerate(cells)],
    )


def odd_date(rng: random.Random, lines: Lines) -> Lines:
    """Odd text in the place of a date."""
    odd, at = rng.choice(ODD_DATES), rng.randrange(2)
    return _cells(rng, lines, lambda cells: [odd if n == at else c for n, c in enumerate(cells)])


def swapped(rng: random.Random, lines: Lines) -> Lines:
    """Two cells change places."""
    a, b = rng.randrange(9), rng.randrange(9)

    def change(cells: list[str]) -> list[str]:
        i, j = a % len(cells), b % len(cells)
        cells[i], cells[j] = cells[j], cells[i]
        return cells

    return _cells(rng, lines, change)


def cell_gone(rng: random.Random, lines: Lines) -> Lines:
    """A cell is left out, so that those after it move to the left."""
    at = rng.randrange(9)
    return _cells(rng, lines, lambda cells: [c for n, c in enumerate(cells) if n != at])


def cell_more(rng: random.Random, lines: Lines) -> Lines:
    """A cell is put in, so that those after it move to the right."""
    at = rng.randrange(9)
    return _cells(rng, lines, lambda cells: [*cells[:at], rng.choice(("", "1", "x")), *cells[at:]])


def scaled(rng: random.Random, lines: Lines) -> Lines:
    """Numbers in another unit."""
    times, plus = rng.choice(((1.8, 32.0), (10.0, 0.0), (0.1, 0.0), (1.0, 273.15), (-1.0, 0.0)))

    def change(cells: list[str]) -> list[str]:
        out = []
        for n, cell in enumerate(cells):
            try:
                value = float(cell.strip('"')) if n > 0 and len(cell.strip()) < 8 else None
            except ValueError:
                value = None
            out.append(cell if value is None else f"{value * times + plus:.1f}")
        return out

    return _cells(rng, lines, change)


def decimal_comma(rng: random.Random, lines: Lines) -> Lines:
    """Points become commas."""
    for n in _some(rng, lines):
        lines[n] = lines[n].replace(".", ",")
    return lines


def shifted(rng: random.Random, lines: Lines) -> Lines:
    """A character more or less, at the start or somewhere in the line."""
    at, more = rng.choice((0, 0, 11, 21, 22, 30, 100)), rng.choice((" ", "  ", "\t", "0", None))
    for n in [0, *_some(rng, lines)]:
        line = lines[n]
        lines[n] = line[:at] + line[at + 1 :] if more is None else line[:at] + more + line[at:]
    return lines


def cut(rng: random.Random, lines: Lines) -> Lines:
    """Lines end early."""
    for n in _some(rng, lines):
        lines[n] = lines[n][: rng.randrange(len(lines[n]) + 1)]
    return lines


def quoted(rng: random.Random, lines: Lines) -> Lines:
    """A quotation mark or two where none belong."""
    for _ in range(rng.choice((1, 1, 2, 3))):
        n = rng.randrange(len(lines))
        at = rng.choice((0, rng.randrange(len(lines[n]) + 1)))
        lines[n] = lines[n][:at] + '"' + lines[n][at:]
    return lines


def lines_gone(rng: random.Random, lines: Lines) -> Lines:
    """Lines are left out."""
    gone = set(_some(rng, lines))
    return [line for n, line in enumerate(lines) if n not in gone]


def lines_again(rng: random.Random, lines: Lines) -> Lines:
    """Lines are given again, elsewhere."""
    return lines + [lines[n] for n in _some(rng, lines)]


def mixed(rng: random.Random, lines: Lines) -> Lines:
    """Lines below the heading in any order."""
    below = lines[1:]
    rng.shuffle(below)
    return lines[:1] + below


def heading(rng: random.Random, lines: Lines) -> Lines:
    """The heading is spoiled, lost, or given again."""
    first = lines[0]
    cells = first.split(_mark(lines))
    cells[rng.randrange(len(cells))] = rng.choice((cells[0], cells[-1], "", "tmin", "x" * 3000))
    way = rng.randrange(5)
    if way == 0:
        return lines[1:]
    if way == 1:
        return [first, *lines]
    if way == 2:
        return ["weather of my garden", "", *lines]
    return [first.upper() if way == 3 else _mark(lines).join(cells), *lines[1:]]


def wide(rng: random.Random, lines: Lines) -> Lines:
    """A line of absurd width."""
    lines[rng.randrange(len(lines))] += rng.choice((",", "7", " ", '"', ";x")) * 200_000
    return lines


def other_station(rng: random.Random, lines: Lines) -> Lines:
    """Lines of another place."""
    for n in _some(rng, lines):
        lines[n] = lines[n].replace("USC00012345", "USC00099999")
    return lines


def other_century(rng: random.Random, lines: Lines) -> Lines:
    """Another year, in all or some lines."""
    year = rng.choice(("0000", "0009", "1009", "9999", "2209", "20", "19"))
    for n in _some(rng, lines):
        lines[n] = lines[n].replace("2009", year).replace("2015", year)
    return lines


def dates_turned(rng: random.Random, lines: Lines) -> Lines:
    """Day and month change places where both could be either, as spreadsheets do."""
    for n in _some(rng, lines):
        mark = next((m for m in "/." if lines[n].split(_mark(lines))[0].count(m) == 2), None)
        if mark is not None:
            one, two, rest = lines[n].split(mark, 2)
            if one.isdecimal() and two.isdecimal() and int(one) <= 12 and int(two) <= 12:
                lines[n] = mark.join((two, one, rest))
    return lines


LINE_CHANGES = (
    odd_number,
    odd_date,
    swapped,
    cell_gone,
    cell_more,
    scaled,
    decimal_comma,
    shifted,
    cut,
    quoted,
    lines_gone,
    lines_again,
    mixed,
    heading,
    wide,
    other_station,
    other_century,
    dates_turned,
)


def bytes_flipped(rng: random.Random, raw: bytes) -> bytes:
    """Some bytes become others."""
    out = bytearray(raw)
    for _ in range(rng.choice((1, 5, 50, 5000))):
        out[rng.randrange(len(out))] = rng.choice((0, 9, 10, 13, 34, 44, 45, 46, 48, 57, 128, 255))
    return bytes(out)


def cut_off(rng: random.Random, raw: bytes) -> bytes:
    """The file ends early."""
    return raw[: rng.randrange(len(raw))]


def recoded(rng: random.Random, raw: bytes) -> bytes:
    """Another coding or other line ends."""
    text = raw.decode("utf-8", "replace").replace("\n", rng.choice(("\n", "\r", "\r\n", "\r\r\n")))
    return text.encode(rng.choice(("utf-8-sig", "utf-16", "utf-16-le", "cp1252")), "replace")


BYTE_CHANGES = (bytes_flipped, cut_off, recoded)


def mutated_record(seed: int) -> tuple[str, bytes]:
    """A spoiled record: its file's name and contents."""
    rng = random.Random(seed)
    name = rng.choice(
        ("USC00012345.dly", "USC00012345.csv", "summaries.csv", "mine.csv", "mine.txt")
    )
    whole = {"USC00012345.dly": _dly, "USC00012345.csv": _by_station, "summaries.csv": _summaries}
    text = whole[name]() if name in whole else _table(rng)
    lines = text.split("\n")
    for change in rng.choices(LINE_CHANGES, k=rng.choice((0, 1, 1, 1, 2))):
        lines = change(rng, lines) or [""]
    raw = "\n".join(lines).encode("utf-8", "replace")
    if raw and rng.random() < 0.25:
        raw = rng.choice(BYTE_CHANGES)(rng, raw)
    return name, raw
