"""The order and the seed on the machine in words."""

import pytest

from geolayout.appraisal.seed.order import OrderLine, SeedOrder
from geolayout.appraisal.seed.passes import OpenRows, SownBy
from geolayout.appraisal.seed.rate import Span
from geolayout.handover.words.seed import machine_lines, order_lines, short_order
from geolayout.plan.units import IMPERIAL


def line(**keys):
    known = {
        "crop": "maize",
        "variety": "",
        "operation": "plant",
        "places": ("bands",),
        "ground_m2": 35_000.0,
        "kg": Span.of(95.0),
        "seeds": Span.of(320_000.0),
        "spare": 0.0,
        "kg_ordered": Span.of(95.0),
        "seeds_ordered": Span.of(320_000.0),
        "pack": None,
        "pack_unit": "",
        "packs": None,
        "missing": (),
        "taken": (),
    }
    return OrderLine(**{**known, **keys})


def said(*lines, tell=order_lines, **more):
    return tell(SeedOrder(lines, ("A note.",)), **more)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        pytest.param({}, "maize, plant, 3.500 ha: 95 kg, 320,000 seeds.", id="what is known"),
        pytest.param(
            {"kg_ordered": Span(59.4, 131.6), "seeds_ordered": Span(2e6, 2.5e6), "operation": ""},
            "maize, 3.500 ha: 59 to 132 kg, 2.00 million to 2.50 million seeds.",
            id="ranges",
        ),
        pytest.param(
            {"variety": "A", "places": ("bands", "headland"), "seeds_ordered": None},
            "maize A, plant (bands and headland), 3.500 ha: 95 kg.",
            id="a variety, the headland too",
        ),
        pytest.param(
            {"pack": 5e4, "pack_unit": "seeds", "packs": (7, 7), "spare": 3.0},
            "maize, plant, 3.500 ha: 95 kg, 320,000 seeds, 7 packs of 50,000 seeds with 3 % spare.",
            id="packs by number",
        ),
        pytest.param(
            {"pack": 25.0, "pack_unit": "kg", "packs": (1, 2), "kg_ordered": Span(4.04, 9.0)},
            "maize, plant, 3.500 ha: 4.0 to 9.0 kg, 320,000 seeds, 1 to 2 packs of 25.0 kg.",
            id="packs by mass",
        ),
        pytest.param(
            {"kg_ordered": None, "seeds_ordered": None, "missing": ("rate",)},
            "maize, plant, 3.500 ha: nothing can be said. Missing: rate.",
            id="nothing known",
        ),
    ],
)
def test_a_line_of_the_order(keys, words):
    assert said(line(**keys)) == [words, "A note."]


def test_the_sheet_is_named_in_full_on_paper_and_shortly_on_the_screen():
    taken = line(taken=("thousand grain weight of maize, 200 to 400 g (from memory)",))
    assert said(taken)[0].endswith(
        "seeds. From the crop sheet: thousand grain weight of maize, 200 to 400 g (from memory)."
    )
    assert said(taken, tell=short_order)[0].endswith(
        "seeds. From the crop sheet, not from your lot."
    )


def test_an_order_in_pounds_and_acres():
    # 3.5 ha = 8.649 acres; 95 kg = 209 lb
    assert said(line(), units=IMPERIAL)[0].startswith("maize, plant, 8.649 acres: 209 lb")


def sown(**keys):
    known = {
        "operation": "drill",
        "machine": "the drill",
        "stand": "strip",
        "sowing": "beans",
        "crop": "beans",
        "machine_rows": 24,
        "rows": (OpenRows(12, 0, 37), OpenRows(1, 23, 1)),
        "kg_per_ha": Span.of(200.0),
        "sown_width_m": 3.0,
        "machine_rate": Span.of(200.0),
        "grams": Span.of(2000.0),
        "distance_m": 33.333,
        "turns": 16.667,
        "kg_per_pass": Span.of(7.2),
        "passes_per_fill": (80, 80),
        "missing": (),
    }
    return SownBy(**{**known, **keys})


def test_a_machine_that_is_known():
    (told,) = machine_lines([sown()])
    assert told == (
        "drill (the drill), beans in strip: rows open 12 (37 passes), 1, 23 shut (1 pass); 200.0 "
        "kg/ha of its ground, 2,000 g on 1/100 ha (33.3 m of driving, 16.7 turns); all seed of the "
        "largest pass is 7.2 kg; a full hopper lasts 80 of these."
    )


def test_a_calibration_in_feet():
    # 100 m2 = 1,076 sq ft; 33.3 m = 109.4 ft; 200 kg/ha = 178.4 lb/acre
    (told,) = machine_lines([sown()], IMPERIAL)
    assert "178.4 lb/acre of its ground, 2,000 g on 1076 sq ft (109.4 ft of driving" in told


def test_a_rate_over_the_whole_width_is_told_where_it_is_another():
    (told,) = machine_lines([sown(machine_rate=Span(150.0, 160.0), passes_per_fill=(60, 80))])
    assert "150.0 to 160.0 kg/ha where the machine counts its whole width" in told
    assert told.endswith("a full hopper lasts 60 to 80 of these.")


def test_what_is_missing_is_said_once_for_every_machine():
    first = sown(missing=("hopper", "thousand grain weight"), kg_per_ha=None, grams=None)
    lines = machine_lines([first, sown(machine="planter", missing=("hopper",))])
    assert "missing: thousand grain weight" in lines[0]
    assert lines[2:] == [
        "Not said without `hopper` of planter and the drill: passes from one fill."
    ]
