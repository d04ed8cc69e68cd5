from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from bedwright.climate import ChecksFailed, ReadingsGivenTwice, TakenAs, ValuesPassedOver
from bedwright.inputs import RecordError, parse_record
from bedwright.inputs.ghcn import DLY_WIDTH


def dly_line(month: int, element: str, values: dict[int, tuple[int, str]]) -> str:
    """One line of a .dly file; days not named are missing."""
    cells = "".join(
        f"{values.get(d, (-9999, ' '))[0]:>5} {values.get(d, (0, ' '))[1]}7" for d in range(1, 32)
    )
    return f"USC00012345{1999:04d}{month:02d}{element}{cells}"


def test_dly() -> None:
    lines = [
        dly_line(2, "TMAX", {d: (100 + d, " ") for d in range(1, 29)}),
        dly_line(2, "TMIN", {**dict.fromkeys(range(1, 29), (-22, " ")), 5: (-999, "I")}),
        dly_line(2, "PRCP", {3: (254, " ")}),
        dly_line(2, "SNWD", {3: (99, " ")}),
    ]
    assert all(len(line) == DLY_WIDTH for line in lines)
    record = parse_record("\n".join(lines) + "\n", "s.dly")
    assert str(record.first) == "1999-02-01"
    assert len(record.tmin_c) == 28
    assert record.tmin_c[0] == pytest.approx((28 - 32) / 1.8, abs=0.06)
    assert np.isnan(record.tmin_c[4])
    assert record.rain_mm is not None
    assert record.rain_mm[2] == pytest.approx(25.4)
    assert ChecksFailed(1) in record.notes


def test_by_station_csv_and_dly_agree() -> None:
    days = range(1, 29)
    dly = "\n".join(
        [
            dly_line(2, "TMAX", {d: (100 + d, " ") for d in days}),
            dly_line(2, "TMIN", {d: (d, " ") for d in days}),
        ]
    )
    rows = [f"USC00012345,199902{d:02d},TMAX,{100 + d},,,7,0700" for d in days]
    rows += [f"USC00012345,199902{d:02d},TMIN,{d},,,7,0700" for d in days]
    rows.append("USC00012345,19990203,TMIN,999,,D,7,0700")
    one, two = parse_record(dly, "s.dly"), parse_record("\n".join(rows), "s.csv")
    assert np.array_equal(one.tmin_c, two.tmin_c)
    assert np.array_equal(one.tmax_c, two.tmax_c)
    assert two.notes[0] == ChecksFailed(1)


HEAD = '"STATION","DATE","LATITUDE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"\n'


def test_daily_summaries_in_tenths() -> None:
    rows = [
        f'"X","1999-07-{d:02d}","40.0","  {250 + d}",",,7","  {100 + d}",",{flag},7"'
        for d in range(1, 29)
        for flag in ["G" if d == 4 else ""]
    ]
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert record.tmax_c[0] == pytest.approx(25.1)
    assert np.isnan(record.tmin_c[3])


def test_daily_summaries_in_whole_fahrenheit_are_not_taken_for_tenths() -> None:
    rows = [f'"X","1999-07-{d:02d}","40.0","{80 + d % 9}",",,7","{55 + d % 7}",",,7"'
            for d in range(1, 29)]  # fmt: skip
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert record.tmax_c[0] == pytest.approx((81 - 32) / 1.8)
    assert TakenAs("F") in record.notes


@pytest.mark.parametrize(
    ("given", "height_m"), [("251.2", 251.2), ("-12", -12.0), ("-999.9", None), ("", None)]
)
def test_daily_summaries_bring_the_height_of_their_station(
    given: str, height_m: float | None
) -> None:
    head = HEAD.replace("LATITUDE", "ELEVATION")
    rows = [f'"X","1999-07-{d:02d}","{given}","{250 + d}",",,7","{100 + d}",",,7"'
            for d in range(1, 29)]  # fmt: skip
    assert parse_record(head + "\n".join(rows), "s.csv").altitude_m == height_m
    warm = [f'"X","1999-07-{d:02d}","{given}","{80 + d % 9}",",,7","{55 + d % 7}",",,7"'
            for d in range(1, 29)]  # fmt: skip
    record = parse_record(head + "\n".join(warm), "s.csv")
    assert TakenAs("F") in record.notes
    assert record.altitude_m is None, "it may be in feet"


def test_a_file_without_temperatures_is_refused() -> None:
    with pytest.raises(RecordError, match="without TMIN"):
        parse_record(dly_line(2, "SNWD", {3: (1, " ")}), "s.dly")


def test_the_by_station_csv_may_have_a_heading() -> None:
    head = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"
    rows = [f"USC00012345,199902{d:02d},TMAX,{100 + d},,,7,0700" for d in range(1, 29)]
    rows += [f"USC00012345,199902{d:02d},TMIN,{d},,,7,0700" for d in range(1, 29)]
    with_head = parse_record("\n".join([head, *rows]), "s.csv")
    without = parse_record("\n".join(rows), "s.csv")
    assert np.array_equal(with_head.tmin_c, without.tmin_c)
    assert with_head.notes == without.notes


def test_a_cold_month_in_tenths_is_not_taken_for_fahrenheit() -> None:
    rows = [
        f'"X","2027-01-{d:02d}","60.0","{40 + d}",",,7","{-50 - d}",",,7"' for d in range(1, 29)
    ]
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert record.tmin_c[0] == pytest.approx(-5.1)
    assert record.tmax_c[0] == pytest.approx(4.1)


def test_flags_count_in_daily_summaries_in_degrees_too() -> None:
    rows = [
        f'"X","1999-05-{d:02d}","40.0","{80 + d % 9}",",,7",'
        f'"{31 if d == 20 else 55 + d % 7}",",{"I" if d == 20 else ""},7"'
        for d in range(1, 29)
    ]
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert np.isnan(record.tmin_c[19])
    assert ChecksFailed(1) in record.notes


def test_a_reading_given_twice_keeps_the_first() -> None:
    rows = [f"USC00012345,199902{d:02d},TMAX,{100 + d},,,7,0700" for d in range(1, 29)]
    rows += [f"USC00012345,199902{d:02d},TMIN,{d},,,7,0700" for d in range(1, 29)]
    rows.append("USC00012345,19990203,TMIN,55,,,7,0700")
    record = parse_record("\n".join(rows), "s.csv")
    assert record.tmin_c[2] == pytest.approx(0.3, abs=0.3)
    assert ReadingsGivenTwice(1) in record.notes


def month_of_dly() -> list[str]:
    return [
        dly_line(2, "TMAX", {d: (100 + d, " ") for d in range(1, 29)}),
        dly_line(2, "TMIN", {d: (10 + d, " ") for d in range(1, 29)}),
    ]


SHIFTS: dict[str, Callable[[str], str]] = {
    "one to the right": lambda line: " " + line,
    "a letter too many": lambda line: "U" + line,
    "one to the left": lambda line: line[1:],
    "days one to the left": lambda line: line[:21] + line[22:] + " ",
    "days one to the right": lambda line: line[:21] + " " + line[21:-1],
    "left from day 9 on": lambda line: line[: 21 + 64] + line[22 + 64 :] + " ",
    "right from day 9 on": lambda line: line[: 21 + 64] + " " + line[21 + 64 :],
    "flags lost": lambda line: line.replace(" 7", "  ").replace("   ", "  "),
    "blanks run together": lambda line: " ".join(line.split()),
    "tabs for blanks": lambda line: line.replace("  ", "\t"),
    "cut": lambda line: line[:150],
    "longer": lambda line: line + "  150  7",
    "a letter for a digit": lambda line: line.replace("  101", "  1O1").replace("   11", "   1l"),
    "a flag that is none": lambda line: line.replace(" 7", "?7"),
    "no month": lambda line: line[:15] + "13" + line[17:],
    "year nought": lambda line: line[:11] + "0000" + line[15:],
    "a day that is none": lambda line: line[:15] + "02" + line[17:261] + "  150  7",
    "values a column to the left": lambda line: line.replace("  101  7", " 101   7").replace(
        "   11  7", "  11   7"
    ),
}


@pytest.mark.parametrize("change", SHIFTS.values(), ids=SHIFTS)
def test_a_dly_file_out_of_its_columns_is_refused(change: Callable[[str], str]) -> None:
    with pytest.raises(RecordError, match=r"line 1: .*(accepted: GHCN-Daily's columns)"):
        parse_record("\n".join(change(line) for line in month_of_dly()), "s.dly")
    lines = month_of_dly()
    lines[1] = change(lines[1])
    with pytest.raises(RecordError, match=r"line 2: .*(accepted: GHCN-Daily's columns)"):
        parse_record("\n".join(lines), "s.dly")


def test_blanks_lost_at_the_end_of_lines_do_no_harm() -> None:
    lines = [line[:-1] + " " for line in month_of_dly()]
    whole = parse_record("\n".join(lines), "s.dly")
    bare = parse_record("\n\n".join(line.rstrip() for line in lines), "s.dly")
    assert np.array_equal(whole.tmin_c, bare.tmin_c)


def by_station(values: list[str]) -> list[str]:
    days = [f"199902{d:02d}" for d in range(1, 29)]
    return [f"USC00012345,{day},{element},{value},,,7,0700" for element in ("TMAX", "TMIN")
            for day, value in zip(days, values, strict=True)]  # fmt: skip


def test_few_values_out_of_their_columns_are_passed_over_and_counted() -> None:
    rows = by_station(["15"] * 28)
    rows[4] = rows[4].replace(",15,", ",,15,")
    rows[9] = rows[9].replace("1999", "99")
    record = parse_record("\n".join(rows), "s.csv")
    assert ValuesPassedOver(2, 5) in record.notes
    assert np.isnan(record.tmax_c[[4, 9]]).all()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda row: row.replace(",15", ",15.1"), "'15.1' is no whole number of tenths"),
        (lambda row: row.replace(",,,7", ",,7"), "'7' is no quality flag"),
        (lambda row: row.replace(",15,", ",,15,"), "'' is no value"),
        (lambda row: row.replace("USC00012345,", ""), "'15' is no element such as TMIN"),
        (lambda row: row.replace("1999", "99"), "'990201' is no day such as 19940731"),
        (lambda row: row.replace(",15,", ",1e400,"), "'1e400' is no value"),
        (lambda row: row.replace(",15,", f",{'9' * 5000},"), "is no value"),
        (lambda row: row.replace(",,,7,0700", ""), "4 cells, where GHCN-Daily has 7 or 8"),
    ],
)
def test_a_by_station_csv_out_of_its_columns_is_refused(
    change: Callable[[str], str], words: str
) -> None:
    head = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"
    rows = [head, *(change(row) for row in by_station(["15"] * 28))]
    with pytest.raises(
        RecordError, match=rf"cannot be read than one in twenty \(line 2: .*{words}"
    ):
        parse_record("\n".join(rows), "s.csv")


def test_lines_of_two_stations_are_refused_in_every_form() -> None:
    rows = by_station(["15"] * 28)
    rows[30] = rows[30].replace("USC", "USW")
    summaries = [f'"{"X" if d < 9 else "Y"}","1999-07-{d:02d}","4","250",",,7","100",",,7"'
                 for d in range(1, 29)]  # fmt: skip
    dly = month_of_dly()
    for text, line in (
        ("\n".join(rows), 31),
        (HEAD + "\n".join(summaries), 10),
        ("\n".join([*dly, dly[0].replace("USC", "USW")]), 3),
    ):
        with pytest.raises(RecordError, match=f"line {line} is of station .* one station"):
            parse_record(text, "s")


def test_daily_summaries_parted_by_semicolons_keep_their_flags() -> None:
    rows = [f"X;1999-01-{d:02d};60.0;{40 + d};,,7;{-150 - d};,{'I' if d == 4 else ''},7"
            for d in range(1, 29)]  # fmt: skip
    head = HEAD.replace('"', "").replace(",", ";")
    record = parse_record(head + "\n".join(rows), "s.csv")
    assert record.tmax_c[0] == pytest.approx(4.1)
    assert np.isnan(record.tmin_c[3])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda row: row.replace('"250"', '"25O"'), "'25O' is no value of TMAX"),
        (lambda row: row.replace('"40.0",', ""), "is no value of TMIN"),
        (lambda row: row + ',"7"', "8 cells beneath a heading of 7"),
        (lambda row: row.replace("1999-07", "07/1999"), "is no day such as 1994-07-31"),
        (lambda row: row.replace('",,7"', '",7,"'), "'7' is no quality flag"),
    ],
)
def test_daily_summaries_out_of_their_columns_are_refused(
    change: Callable[[str], str], words: str
) -> None:
    rows = [change(f'"X","1999-07-{d:02d}","40.0","250",",,7","100",",,7"') for d in range(1, 29)]
    with pytest.raises(
        RecordError, match=rf"cannot be read than one in twenty \(line 2: .*{words}"
    ):
        parse_record(HEAD + "\n".join(rows), "s.csv")


def test_daily_summaries_headed_twice_are_refused() -> None:
    with pytest.raises(RecordError, match="2 columns headed TMIN"):
        parse_record(
            HEAD.replace('"LATITUDE"', '"TMIN"') + '"X","1999-07-01","1","2","","3",""', "s"
        )


def test_a_heading_with_a_slip_in_it_is_refused() -> None:
    for head, words in ((HEAD.replace('"DATE"', '"DAY"'), "no column headed DATE"),
                        (HEAD.replace('"ST', '"A,ST'), "no column headed STATION")):  # fmt: skip
        with pytest.raises(RecordError, match=words):
            parse_record(head + '"X","1999-07-01","1","2","","3",""', "s")


def test_many_readings_given_again_with_other_values_are_refused() -> None:
    rows = by_station(["15"] * 28) + by_station(["25"] * 28)
    with pytest.raises(RecordError, match="56 readings are given again with another value"):
        parse_record("\n".join(rows), "s.csv")
    assert parse_record("\n".join(by_station(["15"] * 28) * 2), "s.csv").tmin_c[0] == 1.5
