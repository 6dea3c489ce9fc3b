"""Trials: replicates, sole crops and lengths of plots. Plans are invented."""

import pytest
import shapely
from appraisal_layouts import LAND, NORTH, PLACE, layout_of, of_key
from strategies import centred, laid

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.trial_cautions import trial_cautions
from geolayout.land.field import make_field
from geolayout.plan.parse import parse_plan
from geolayout.trial.design import expand_trials

STANDS = """
[[stand]]
name = "mix"
sowing = [ { crop = "oats", spacing = 0.25 }, { crop = "peas", place = "broadcast" } ]
[[stand]]
name = "oats"
sowing = [ { crop = "oats", spacing = 0.25 } ]
[[stand]]
name = "peas"
sowing = [ { crop = "peas", spacing = 0.25 } ]
[[stand]]
name = "cover"
[[stand.sowing]]
crop = "oats"
spacing = 0.25
[[stand.sowing]]
crop = "clover"
place = "broadcast"
harvested = false
"""


def trial(treatments, replicates, width=3.0):
    names = ", ".join(f'"{name}"' for name in treatments)
    return f"""
[[pattern]]
name = "trial"
[pattern.trial]
treatments = [{names}]
replicates = {replicates}
plot_width = {width}
harvest_width = {width}
seed = 5
"""


def found(treatments, replicates, land=LAND):
    field = make_field(PLACE.to_geographic(centred(land)))
    text = "\n".join(["schema = 1", STANDS, trial(treatments, replicates), "[guide]", NORTH])
    return laid(field, expand_trials(parse_plan(text)))


def told(*where, **land):
    return {one.key: one for one in trial_cautions(found(*where, **land))}


@pytest.mark.parametrize(
    ("treatments", "replicates", "least"),
    [
        # practice: 4 at the least, 5 to 6 for small differences; of two treatments 6 to 7
        pytest.param(["mix", "oats", "peas"], 4, None, id="three treatments, four replicates"),
        pytest.param(["mix", "oats", "peas"], 3, 4.0, id="three treatments, three replicates"),
        pytest.param(["oats", "peas"], 6, None, id="two treatments, six replicates"),
        pytest.param(["oats", "peas"], 5, 6.0, id="two treatments, five replicates"),
    ],
)
def test_replicates_are_counted(treatments, replicates, least):
    one = told(treatments, replicates).get("trial-few-replicates")
    assert (one.threshold if one is not None else None) == least
    if one is not None:
        assert (one.code, one.severity, one.value) == ("W31", "warning", replicates)


def test_a_single_strip_proves_nothing():
    one = told(["oats", "peas"], 1)["trial-few-replicates"]
    assert one.sentence.startswith("A strip that stands once proves nothing. The trial of oats and")
    assert "has 1 replicate;" in one.sentence


def test_a_mixture_needs_each_of_its_crops_alone():
    assert "trial-without-sole-crop" not in told(["mix", "oats", "peas"], 4)
    one = told(["mix", "oats"], 6)["trial-without-sole-crop"]
    assert "has mix and no plots of peas alone" in one.sentence
    assert one.code == "W31"


def test_a_cover_that_nobody_harvests_needs_no_plots():
    assert "trial-without-sole-crop" not in told(["cover", "oats"], 6)


def test_plots_of_unequal_length_are_told():
    # 60 m wide, 120 m long at the west and 60 m at the east: 12 plots of 3 m lie in the west 36 m,
    # from 118.5 m down to 120 - 34.5 = 85.5 m in the mean, which is 1.39 times
    wedge = shapely.Polygon([(0, 0), (60, 0), (60, 60), (0, 120)])
    one = told(["oats", "peas"], 6, land=wedge)["trial-plots-differ"]
    assert one.value == pytest.approx(118.5 / 85.5, rel=1e-3)
    assert "Plots of the trial are 86 to 119 m long" in one.sentence
    assert "trial-plots-differ" not in told(["oats", "peas"], 6)


def test_short_plots_are_a_note():
    assert "trial-short-plots" not in told(["oats", "peas"], 6)  # 120 m
    one = told(["oats", "peas"], 6, land=shapely.box(0, 0, 60, 80))["trial-short-plots"]
    assert (one.severity, round(one.value)) == ("note", 80)


def test_strips_are_no_trial():
    bands = (
        '{ name = "A", width = 6.0, stand = "oats" }, { name = "B", width = 6.0, stand = "peas" }'
    )
    pattern = f'[[pattern]]\nname = "p"\nbands = [ {bands} ]'
    assert trial_cautions(layout_of(STANDS, pattern)) == []


def test_it_is_among_the_cautions():
    layout = found(["mix", "oats"], 3)
    assert {"trial-few-replicates", "trial-without-sole-crop"} <= {c.key for c in cautions(layout)}
    assert of_key(layout, "strips-wider-than-benefit") == []
