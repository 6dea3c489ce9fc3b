"""A trial becomes whole named plots, each treatment once in every replicate, in a fixed order."""

from collections import Counter

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from geolayout.errors import LayoutError, PlanError
from geolayout.plan.parse import parse_plan
from geolayout.plan.pattern import Pattern, Trial
from geolayout.plan.section.section import CutKind, cut_section
from geolayout.trial import design

PLAN = """
schema = 1
[guide]
bearing = 0.0
[[stand]]
name = "mix"
sowing = [ { crop = "oats", spacing = 0.25 }, { crop = "peas", place = "broadcast" } ]
[[stand]]
name = "oats"
sowing = [ { crop = "oats", spacing = 0.25 } ]
[[stand]]
name = "grass"
sowing = [ { crop = "grass", place = "broadcast" } ]
[[pattern]]
name = "trial"
[pattern.trial]
treatments = ["mix", "oats"]
replicates = 3
plot_width = 6.0
harvest_width = 6.0
seed = 5
rest = "grass"
"""


def trial_of(**changed):
    given = {
        "treatments": ("a", "b", "c"),
        "replicates": 4,
        "plot_width": 12.0,
        "guard": 3.0,
        "harvest_width": 6.0,
        "seed": 7,
    }
    return Trial(**{**given, **changed})


trials = st.builds(
    trial_of,
    treatments=st.integers(2, 8).map(lambda n: tuple("abcdefgh"[:n])),
    replicates=st.integers(1, 12),
    plot_width=st.floats(12.0, 36.0),
    seed=st.integers(0, 2**70),
)


def test_order_of_a_seed_never_changes():
    """Written down once; a plan file that names the seed must give this order for ever."""
    assert design.plot_order(trial_of()) == [
        ["b", "c", "a"],
        ["c", "b", "a"],
        ["a", "c", "b"],
        ["c", "a", "b"],
    ]


def test_every_order_of_three_comes_about_equally_often():
    """6 orders, 6,000 seeds: 1,000 each; 5 standard deviations are 5 x sqrt(6000 x 5/36) = 144."""
    orders = Counter(
        tuple(design.plot_order(trial_of(replicates=1, seed=seed))[0]) for seed in range(6000)
    )
    assert len(orders) == 6
    assert all(abs(count - 1000) < 144 for count in orders.values())


@given(trial=trials)
@example(trial=trial_of())
def test_each_treatment_stands_once_in_every_replicate(trial):
    order = design.plot_order(trial)
    assert len(order) == trial.replicates
    assert all(sorted(replicate) == sorted(trial.treatments) for replicate in order)


@given(trial=trials)
@example(trial=trial_of(replicates=1))
def test_plots_are_whole_named_and_laid_once(trial):
    pattern = design.expand(Pattern(name="t", trial=trial), trial)
    plots = len(trial.treatments) * trial.replicates
    assert len({band.name for band in pattern.bands}) == plots
    assert all(band.whole and band.width == trial.plot_width for band in pattern.bands)
    assert (pattern.trial, pattern.repeats) == (None, 1)
    assert pattern.repeat_width == pytest.approx(design.trial_width(trial))


def test_a_longer_trial_begins_with_the_order_of_the_shorter():
    """Adding a replicate moves no plot that stands already."""
    assert design.plot_order(trial_of(replicates=4))[:2] == design.plot_order(
        trial_of(replicates=2)
    )


def test_bands_are_named_by_treatment_and_replicate():
    pattern = design.expand_trials(parse_plan(PLAN)).patterns[0]
    assert sorted(band.name for band in pattern.bands) == [
        "mix 1",
        "mix 2",
        "mix 3",
        "oats 1",
        "oats 2",
        "oats 3",
    ]
    assert {band.name: band.stand for band in pattern.bands}["oats 2"] == "oats"
    assert pattern.rest == "grass"


def test_a_season_that_names_a_treatment_speaks_of_all_its_plots():
    plan = parse_plan(PLAN + '[[season]]\nyear = 2028\ngrows = { mix = "grass" }\n')
    season = design.expand_trials(plan).season(2028)
    assert season is not None
    assert season.grows == {"mix 1": "grass", "mix 2": "grass", "mix 3": "grass"}


def test_a_plan_without_trials_stays_as_it_is():
    plan = design.expand_trials(parse_plan(PLAN))
    assert design.expand_trials(plan) is plan


def test_a_name_that_would_be_too_long_is_refused():
    trial = trial_of(treatments=("a" * 79, "b"))
    with pytest.raises(PlanError, match="name of 81 letters"):
        design.expand(Pattern(name="t", trial=trial), trial)


def test_order_is_told_with_its_seed():
    assert design.order_words(trial_of(replicates=1)) == [
        "Replicate 1, in order away from the near side: b, c, a (seed 7)."
    ]


def test_land_beyond_the_plots_grows_the_rest():
    """6 plots of 6 m are 36 m; the land is 40 m: 4 m are rest."""
    pattern = design.expand_trials(parse_plan(PLAN)).patterns[0]
    section = cut_section(pattern, (0.0, 40.0))
    last = section.cuts[-1]
    assert (last.t0, last.t1, last.band, last.kind) == (36.0, 40.0, "rest", CutKind.BAND)
    design.check_whole(parse_plan(PLAN).patterns[0].trial, section)


@pytest.mark.parametrize(
    ("span", "laid"),
    [
        # 35.96 m hold six plots of 6 m: 4 cm are within the slack of 5 cm
        pytest.param((0.0, 35.96), 6, id="4 cm short is slack"),
        pytest.param((0.0, 35.0), 5, id="a metre short loses a plot"),
        pytest.param((1.0, 40.0), 5, id="the first plot is cut by the near side"),
    ],
)
def test_a_trial_short_of_a_plot_is_refused(span, laid):
    plan = parse_plan(PLAN)
    section = cut_section(design.expand_trials(plan).patterns[0], span)
    if laid == 6:
        design.check_whole(plan.patterns[0].trial, section)
        return
    with pytest.raises(LayoutError, match=rf"6 plots of 6 m, 36 m in all, .* takes {laid} of them"):
        design.check_whole(plan.patterns[0].trial, section)


def test_a_season_may_name_the_treatment_of_one_block() -> None:
    plan = parse_plan(
        """
        schema = 1
        [guide]
        bearing = 0.0
        [[stand]]
        name = "oats"
        sowing = [{ crop = "oats", spacing = 0.125 }]
        [[stand]]
        name = "peas"
        sowing = [{ crop = "peas", spacing = 0.125 }]
        [[pattern]]
        name = "trial"
        [pattern.trial]
        treatments = ["oats", "peas"]
        replicates = 2
        plot_width = 6.0
        harvest_width = 3.0
        [[block]]
        name = "north"
        rest = true
        pattern = "trial"
        [[season]]
        year = 2027
        grows = { "north/oats" = "peas" }
        """
    )
    season = design.expand_trials(plan).seasons[0]
    assert dict(season.grows) == {"north/oats 1": "peas", "north/oats 2": "peas"}
