"""All cautions together: order, one line for many, and real fields without a fault."""

import pytest
from appraisal_layouts import BANDS, HEADLAND, MACHINES, STANDS, layout_of, strips, worked_by
from sample_layouts import SAMPLES, sample_layout
from strategies import real_fields

from geolayout.appraisal.caution import SEVERITIES
from geolayout.appraisal.cautions import cautions
from geolayout.errors import GeolayoutError
from geolayout.layout.blocks.drawn import Drawn
from geolayout.layout.build import lay_out
from geolayout.layout.resolve import resolve_guides
from geolayout.plan.parse import parse_plan

ROLLER = worked_by("roller", "working_width = 4.0\nturning_radius = 5.0", operation="roll")


def faults(layout):
    """Return what is wrong with the cautions of a layout, by sentence."""
    found = cautions(layout)
    order = [SEVERITIES.index(caution.severity) for caution in found]
    wrong = [] if order == sorted(order) else ["not worst first"]
    wrong += [c.sentence for c in found if not c.sentence.endswith((".", "?"))]
    wrong += [c.key for c in found if not (c.remedy and c.source and c.count >= 1)]
    wrong += [c.key for c in found if c.value is not None and not c.unit]
    sentences = [c.sentence for c in found]
    wrong += [s for s in set(sentences) if sentences.count(s) > 1]
    return wrong


def test_hazards_come_before_warnings_and_notes():
    assert faults(strips(HEADLAND, ROLLER)) == []


def test_a_warning_equal_for_every_band_is_one_line():
    found = [c for c in cautions(strips(HEADLAND, ROLLER)) if c.key == "strip-width"]
    assert len(found) == 1
    assert found[0].count == 10


def test_a_plan_that_fits_has_no_warning():
    turning = MACHINES.replace("far_side_access", "turning_radius = 3.0\nfar_side_access")
    wide = HEADLAND.replace("10.0", "13.0")
    layout = layout_of(STANDS, BANDS, turning, wide)
    assert [c.sentence for c in cautions(layout) if c.severity != "note"] == []


@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_have_sound_cautions(name):
    assert faults(sample_layout(name)) == []


def test_the_same_layout_has_the_same_cautions():
    assert cautions(strips(HEADLAND, ROLLER)) == cautions(strips(HEADLAND, ROLLER))


def test_real_fields_have_sound_cautions():
    text = "\n".join(["schema = 1", STANDS, BANDS, MACHINES, ROLLER, HEADLAND, "[guide]"])
    plan = parse_plan(text + '\nchoose = "longest edge"')
    wrong = {}
    for i, field in enumerate(real_fields(40, seed=8)):
        try:
            layout = lay_out(field, resolve_guides(plan, field, Drawn()))
        except GeolayoutError:
            continue
        if found := faults(layout):
            wrong[i] = found
    assert wrong == {}
