from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bedwright.brief import Dates, Span
from bedwright.catalogue import Catalogue
from bedwright.export import plan_record
from bedwright.plan import Plan, make_plan
from bedwright.report import say, task_reason, task_title
from bedwright.report.soil import soil_parts
from bedwright.work.calendar import Task, make_diary
from bedwright.work.jobs import FrostRisk, ShowDay, SowInPlace
from bedwright.work.rates import rows_of, windows
from conftest import brief_of, weather_at


def tasks_of(plan: Plan) -> dict[str, Task]:
    return {task.key: task for task in plan.diary.tasks}


def test_tasks_are_in_order_and_inside_their_windows(example: Plan) -> None:
    tasks = example.diary.tasks
    assert [t.best for t in tasks] == sorted(t.best for t in tasks)
    assert len({t.key for t in tasks}) == len(tasks)
    for task in tasks:
        assert task.earliest <= task.best <= task.latest, task
        assert task_title(task, "metric")
        assert task_reason(task, "us").endswith(".")


def test_the_job_comes_in_its_order(example: Plan) -> None:
    tasks = tasks_of(example)
    day = example.season.day
    assert tasks["locate"].best <= day(example.dig) - timedelta(
        days=-windows()["mark_services"].best
    )
    assert tasks["order"].best < tasks["mark-out"].best < tasks["dig"].best < tasks["water-in"].best
    out = [t.best for k, t in tasks.items() if k.startswith(("set-out", "place-"))]
    assert min(out) >= day(example.ready)
    for letter in (row.letter for row in example.raising.indoor):
        assert tasks["seed-order"].best < tasks[f"sow-{letter}"].best


def test_every_item_is_sown_set_out_and_seen_in_flower(example: Plan) -> None:
    seen = {letter for t in example.diary.tasks for letter in t.letters}
    assert seen >= {i.letter for i in example.planting.items}


def test_no_task_falls_on_a_day_away_when_it_can_be_helped(oval: Plan) -> None:
    assert oval.brief.dates.away
    for task in oval.diary.tasks:
        if task.watch:
            continue
        for span in oval.brief.dates.away:
            stuck = span.start <= task.earliest and task.latest <= span.end
            assert stuck or not span.start <= task.best <= span.end
    show = tasks_of(oval)["show"]
    assert show.best == date(2027, 7, 4)
    assert isinstance(show.job, ShowDay)
    assert show.job.items == len(oval.planting.items)


def test_a_task_that_cannot_be_moved_is_told(oval: Plan) -> None:
    away = Span(start=date(2027, 1, 1), end=date(2027, 12, 31))
    brief = oval.brief.model_copy(update={"dates": Dates(away=(away,))})
    diary = make_diary(
        brief, oval.season, oval.dig, oval.ready, oval.ground, oval.planting, oval.raising
    )
    assert len(diary.clashes) > 20
    assert "while you are away" in say(diary.clashes[0], "metric")


def test_an_untested_soil_is_sent_to_a_laboratory(catalogue: Catalogue) -> None:
    plan = make_plan(brief_of(), catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert "soil-test" in tasks_of(plan)
    tested = make_plan(
        brief_of(ground={"test": {"ph": 4.2}, "texture": "clay"}),
        catalogue=catalogue,
        weather=weather_at(53.27, -9.05),
    )
    assert "soil-test" not in tasks_of(tested)
    assert "ph-2" in tasks_of(tested)


def test_a_frostless_place_has_no_frost_watch(catalogue: Catalogue) -> None:
    plan = make_plan(brief_of(), catalogue=catalogue, weather=weather_at(1.35, 103.82))
    assert "frost-watch" not in tasks_of(plan)
    assert replace(plan).diary.tasks


@pytest.mark.parametrize("away", [("02-19", "02-22"), ("04-13", "04-16"), ("05-16", "05-22")])
def test_raising_and_items_have_the_days_of_the_calendar(
    catalogue: Catalogue, away: tuple[str, str]
) -> None:
    span = {"start": f"2027-{away[0]}", "end": f"2027-{away[1]}"}
    brief = brief_of(dates={"away": [span]})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    written = plan_record(plan)
    sheets = {
        (row.letter, name): getattr(row, name)
        for row in (*written.raising.indoor, *written.raising.in_place)
        for name in ("sow", "prick_out", "pot_on", "harden_off", "set_out", "thin", "thin_to_one")
        if getattr(row, name, None) is not None and not getattr(row, "again", False)
    }
    starts = {"sow_indoors": "sow", "sow_in_place": "sow", "prick_out": "prick_out",
              "pot_on": "pot_on", "harden_off": "harden_off", "set_out": "set_out",
              "thin": "thin", "thin_to_one": "thin_to_one"}  # fmt: skip
    compared = moved = 0
    for task in plan.diary.tasks:
        name = starts.get(task.job.code)
        if task.key.endswith("-again"):
            continue
        for letter in task.letters if name else ():
            if (letter, name) in sheets:
                compared += 1
                moved += task.moved
                assert sheets[letter, name] == task.best
    assert compared > 5
    assert moved
    for item in written.items:
        if (item.letter, "sow") in sheets:
            assert item.sow == sheets[item.letter, "sow"]
        if (item.letter, "set_out") in sheets:
            assert item.out == sheets[item.letter, "set_out"]


def test_an_absence_moves_the_digging_and_all_that_hangs_on_it(
    catalogue: Catalogue, oval: Plan
) -> None:
    away = [{"start": oval.season.day(oval.dig), "end": oval.season.day(oval.dig + 20)}]
    brief = brief_of(dates={"begin": oval.season.day(oval.dig), "away": away})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert plan.season.day(plan.dig) > away[0]["end"]
    tasks = tasks_of(plan)
    assert tasks["dig"].best < tasks["water-in"].best
    assert plan.ready == plan.dig + plan.ground.settle_days


def test_smothering_begins_a_year_before(catalogue: Catalogue) -> None:
    brief = brief_of(ground={"clear_by": "smother"})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert (plan.season.day(plan.dig) - tasks_of(plan)["smother"].best).days == 365
    assert any("smothering takes about a year" in say(note, "metric") for note in plan.notes)


def test_sowing_in_place_says_what_decided_it_and_the_odds_it_runs(example: Plan) -> None:
    tasks = tasks_of(example)
    courses = {i.letter: i.candidate.course for i in example.planting.items}
    for row in example.raising.in_place:
        if row.again:
            continue
        task, course = tasks[f"place-{row.letter}"], courses[row.letter]
        assert isinstance(task.job, SowInPlace)
        assert task.job.risk == FrostRisk(course.decided_by, course.kill_c, course.risk)
        assert f"odds of {course.risk:.0%}" in task_reason(task, "metric")


def test_potting_on_speaks_of_what_the_plants_stand_in(oval: Plan) -> None:
    rows = [replace(row, pot_on=row.harden - 14) for row in oval.raising.indoor]
    raising = replace(oval.raising, indoor=tuple(rows))
    for container, word in (("tray", "cell"), ("soil block", "block")):
        indoors = oval.brief.indoors.model_copy(update={"container": container})
        brief = oval.brief.model_copy(update={"indoors": indoors})
        diary = make_diary(brief, oval.season, oval.dig, oval.ready, oval.ground, oval.planting,
                           raising)  # fmt: skip
        said = {task_reason(t, "metric") for t in diary.tasks if t.key.startswith("pot-")}
        assert said == {f"When roots show at the edge of the {word}."}


def test_side_dressing_falls_in_the_weeks_that_the_soil_sheet_gives(example: Plan) -> None:
    """Four to six weeks after planting (Kansas State Research and Extension, Sidedressing Annual
    Flowers, read in copies)."""
    task = tasks_of(example)["side-dress"]
    out = example.season.day(max(i.candidate.course.out for i in example.planting.items))
    assert (task.earliest - out, task.latest - out) == (timedelta(weeks=4), timedelta(weeks=6))
    notes = " ".join(line.working for part in soil_parts(example) for line in part.lines)
    assert "4 to 6 weeks after planting" in notes


def test_tasks_wait_for_tasks_that_are_there_and_come_no_later(example: Plan) -> None:
    tasks = tasks_of(example)
    done: set[str] = set()
    waiting = dict(tasks)
    while waiting:
        ready = [key for key, task in waiting.items() if done.issuperset(task.waits_for)]
        assert ready, f"a circle among {sorted(waiting)}"
        for key in ready:
            done.add(key)
            del waiting[key]
    for task in tasks.values():
        for before in task.waits_for:
            assert tasks[before].earliest <= task.latest, (before, task.key)


def test_setting_out_waits_for_hardening_off(oval: Plan) -> None:
    tasks = tasks_of(oval)
    for row in oval.raising.indoor:
        (out,) = [
            t for k, t in tasks.items() if k.startswith("set-out") and row.letter in t.letters
        ]
        assert f"harden-{row.harden}" in out.waits_for
        assert tasks[f"harden-{row.harden}"].letters


def test_every_offset_and_rate_names_its_source() -> None:
    for table in ("windows", "rates"):
        for row in rows_of(table):
            assert row["source"].strip(), row
    for name, window in windows().items():
        assert window.earliest <= window.best <= window.latest, name
