"""A bed under way: the plan that it is grown by, where it stands, and what is to come of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType

from bedwright.brief import Learned, Room
from bedwright.climate import Season
from bedwright.facts import Fact
from bedwright.journal import Entry
from bedwright.underway.coming import Coming, bench_m2, come, water_mm
from bedwright.underway.counts import Standing, second_sowings, standing_of
from bedwright.underway.moved import moved_of, weather_so_far
from bedwright.underway.planned import PlannedBed, Work
from bedwright.underway.stands import Stand, days_of_year, done_in, entries_of_year, stands_of
from bedwright.underway.tonight import TonightsWork, tonight
from bedwright.underway.weather import some_of, with_entries
from bedwright.underway.week import Ahead, DueWork, ahead_of, moved_work, week_of


@dataclass(frozen=True)
class Underway:
    """A bed in the middle of its year, as of a day.

    ``coming``, ``stands``, ``standing``: by letter; ``works``: on the days that they now fall on;
    ``moved``: what moved and why, a fact for each cause; ``second``: second sowings; ``weather``:
    how the nights so far compare; ``nights_c``: by how much nights in the garden are warmer;
    ``entries``: those of its year that it was worked out from.
    """

    bed: PlannedBed
    today: date
    stands: Mapping[str, Stand]
    coming: Mapping[str, Coming]
    standing: Mapping[str, Standing]
    works: tuple[Work, ...]
    ahead: Ahead
    bench_m2: Mapping[date, float]
    moved: tuple[Fact, ...]
    second: tuple[Fact, ...]
    nights_c: float
    entries: tuple[Entry, ...] = field(default=(), repr=False)

    def week(
        self, tasks: Mapping[str, date] = MappingProxyType({}), today: date | None = None
    ) -> list[DueWork]:
        """This week's list; ``tasks``: work that entries say is done, with the latest day;
        ``today``: a later day than that on which all this was worked out."""
        today = today or self.today
        done = done_in(self.bed, self.stands, tasks, today)
        return week_of(self.bed, self.works, done, self.stands, self.ahead, today)

    @property
    def days(self) -> tuple[date, date]:
        """The first and the last day whose entries are of its year."""
        return days_of_year(self.bed.start)

    def after(self, entries: Iterable[Entry]) -> Underway:
        """With entries written since: what stands and what is done is theirs at once, dates are
        those that were worked out before."""
        own = [entry for entry in entries_of_year(self.bed, entries) if entry.day <= self.today]
        stands = stands_of(self.bed, own)
        works = tuple(moved_work(self.bed, self.coming, stands, self.ahead))
        return replace(self, stands=stands, works=works, entries=tuple(own))

    def tonight(self, forecast_c: float) -> TonightsWork:
        """What a night's forecast asks for."""
        return tonight(self.bed, self.stands, self.coming, forecast_c, self.nights_c, self.today)


def work_out(
    bed: PlannedBed,
    entries: Iterable[Entry],
    season: Season,
    learned: Learned,
    today: date,
    room: Room = "window sill",
) -> Underway:
    """Work out what is still to come.  ``season``: as the plan had it; ``learned``: what the
    garden's journals teach by today; ``room``: where plants are raised."""
    season = some_of(season)
    own = [entry for entry in entries_of_year(bed, entries) if entry.day <= today]
    stands = stands_of(bed, own)
    here = with_entries(season, own, today)
    coming = come(bed, stands, season, here, learned, today, room)
    rain = {entry.day: entry.rain_mm for entry in own if entry.rain_mm is not None}
    ahead = ahead_of(bed, season, here, water_mm(coming, here), rain, today)
    so_far = weather_so_far(season, own)
    moved = moved_of(coming, today)
    return Underway(
        bed=bed,
        today=today,
        stands=stands,
        coming=coming,
        standing={i.letter: standing_of(i, stands[i.letter], learned) for i in bed.items},
        works=tuple(moved_work(bed, coming, stands, ahead)),
        ahead=ahead,
        bench_m2=bench_m2(bed, coming, stands),
        moved=moved if so_far is None else (*moved, so_far),
        second=tuple(second_sowings(bed, stands, coming, here, learned, today, room)),
        nights_c=learned.nights or 0.0,
        entries=tuple(own),
    )
