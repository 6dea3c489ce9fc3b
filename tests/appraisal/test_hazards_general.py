"""What the work itself brings: each said where the plan has it, and nowhere else."""

import pytest
from appraisal_layouts import (
    ALLEYS,
    BANDS,
    GRASS,
    HEADLAND,
    LAND,
    MACHINES,
    NORTH,
    STANDS,
    close,
    feature_in,
    layout_of,
    of_key,
    one_stand,
    strips,
    the_one,
    worked_by,
)
from shapely import LineString, Point, box

from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.hazards.words import GENERAL

PARTLY = LineString([(0, 60), (8, 60)])
SPRAYER = worked_by("sprayer", "working_width = 24.0\nsections = 8", "block", "spray")
SIGNED = '[[acknowledged]]\nhazard = "slope"\nwho = "the grower (invented)"\ndate = 2027-01-15\n'


def gate():
    return feature_in(LAND, "gateway", Point(30, 0), "centre line")


def bringing(key):
    """Return a layout that brings a hazard of the work, and what its sentence begins with."""
    return {
        "since drawn": lambda: (strips(), "The lines know only what was drawn."),
        "blockage": lambda: (strips(), "Drill, planter, header or auger (plant and drill)."),
        "spraying": lambda: (strips(SPRAYER), "Spray over field beans and maize."),
        "treated seed": lambda: (strips(), "If the seed is dressed (plant and drill)."),
        "failing trees": lambda: (layout_of(GRASS, ALLEYS), "80 trees to plant."),
        "road": lambda: (
            strips(features=[gate()]),
            "Way out by the gateway 'invented', 60 m south",
        ),
        "working alone": lambda: (strips(), "Work alone, long days and dark."),
        "admixture": lambda: (strips(), "Field beans and maize grow side by side."),
        "names in files": lambda: (strips(SIGNED), "1 person or office is named in the plan."),
    }[key]()


@pytest.mark.parametrize("key", GENERAL)
def test_each_is_said_where_the_work_is(key):
    layout, begins = bringing(key)
    caution = the_one(layout, key)
    words = GENERAL[key]
    assert caution.sentence.startswith(begins)
    assert caution.sentence.endswith(words.can_happen)
    assert caution.remedy == f"{words.do} {words.decides}"
    assert (caution.severity, caution.hazard) == ("note", key)
    assert caution.acknowledged == "not acknowledged"


# Bare ground that nobody works, without a feature or a name.
IDLE = '[[pattern]]\nname = "bare"\nbands = [ { name = "A", width = 6.0, stand = "none" } ]'


@pytest.mark.parametrize("key", GENERAL)
def test_none_is_said_where_the_work_is_not(key):
    assert of_key(layout_of(IDLE), key) == []


@pytest.mark.parametrize("key", GENERAL)
def test_each_can_be_acknowledged_and_is_said_all_the_same(key):
    signed = f'[[acknowledged]]\nhazard = "{key}"\nwho = "a (invented)"\ndate = 2027-01-15\n'
    layouts = {"spraying": (SPRAYER,), "road": ()}
    if key == "failing trees":
        layout = layout_of(GRASS, ALLEYS, signed)
    else:
        layout = strips(*layouts.get(key, ()), signed, features=[gate()])
    assert the_one(layout, key).acknowledged == "acknowledged by a (invented) on 2027-01-15"
    assert of_key(layout, "acknowledged-without-hazard") == []


# Grain in grain


def admixture_of(sowing):
    return of_key(layout_of(one_stand(sowing)), "admixture")


def test_a_mixture_grows_together_and_names_its_allergens():
    oats = '{ crop = "oats", spacing = 0.125 }, { crop = "peas", place = "broadcast" }'
    (caution,) = admixture_of(oats)
    assert caution.sentence.startswith(
        "Oats and peas grow together; oats must be named to the buyer as allergens."
    )


@pytest.mark.parametrize(
    "sowing",
    [
        '{ crop = "barley", spacing = 0.125 }, { crop = "white clover", place = "broadcast" }',
        '{ crop = "wheat", spacing = 0.125 }, { crop = "Italian ryegrass", place = "broadcast" }',
        '{ crop = "rye", spacing = 0.5 }, { crop = "vetch", spacing = 0.5, harvested = false }',
    ],
    ids=["clover gives no grain", "ryegrass is no rye", "what is not harvested"],
)
def test_what_gives_no_grain_is_no_admixture(sowing):
    assert admixture_of(sowing) == []


def test_barley_is_no_ley():
    sowing = '{ crop = "barley", spacing = 0.125 }, { crop = "peas", place = "broadcast" }'
    (caution,) = admixture_of(sowing)
    assert "barley must be named" in caution.sentence


# Trees that stand there already


def test_a_tree_that_stands_there_is_said_with_its_place():
    oak = feature_in(LAND, "tree", Point(30, 60), "centre line")
    caution = the_one(strips(features=[oak]), "failing trees")
    assert caution.sentence.startswith("Tree 'invented', near the middle of the field")
    assert caution.place == (close(0.0), close(0.0))


# Booms over what must stay dry


@pytest.mark.parametrize(
    ("kind", "hazard"),
    [("pond", "water"), ("ditch", "bank"), ("right of way", "walkers"), ("beehives", "spraying")],
)
def test_a_boom_that_reaches_over_it_is_a_warning(kind, hazard):
    # It reaches from the west edge into the first strip of the boom, which passes beside its end.
    there = (
        feature_in(LAND, kind, Point(30, 60), "drawn edge", all=1.0)
        if kind in ("pond", "beehives")
        else feature_in(LAND, kind, PARTLY, "centre line", half_width=0.5, all=1.0)
    )
    found = of_key(strips(SPRAYER, features=[there]), "boom-over-feature")
    assert [(c.severity, c.hazard) for c in found] == [("warning", hazard)]
    assert "of the field (lon " in found[0].sentence
    assert "unless sections are shut off" in found[0].sentence


def test_a_boom_that_stays_off_it_is_no_warning():
    # Passes reach to the edge of the land and no farther.
    beside = feature_in(LAND, "ditch", LineString([(90, -20), (90, 140)]), "centre line")
    assert of_key(strips(SPRAYER, features=[beside]), "boom-over-feature") == []


def test_a_drill_over_a_right_of_way_is_no_spray():
    way = feature_in(LAND, "right of way", LineString([(0, 60), (60, 60)]), "centre line")
    assert of_key(strips(features=[way]), "boom-over-feature") == []


def test_nothing_general_is_more_than_a_note():
    layout = layout_of(STANDS, BANDS, MACHINES, SPRAYER, HEADLAND, SIGNED, guide=NORTH)
    found = [c for c in cautions(layout) if c.key in GENERAL]
    assert len(found) >= 6
    assert {c.severity for c in found} == {"note"}


def test_one_tree_is_told_as_one():
    # Grass 24, trees 3, grass 24 = 51 m; on 4 m from south to north one tree stands.
    layout = layout_of(GRASS, ALLEYS, land=box(0, 0, 51, 4))
    assert the_one(layout, "failing trees").sentence.startswith("1 tree to plant.")
