"""A prescription covers the field, keeps its true areas, and forgives a pass off line."""

import numpy as np
import pyogrio
import pytest
import shapefile
import shapely
from sample_layouts import SAMPLES, STRIPS, paper_layout, sample_layout

from geolayout.errors import LayoutError
from geolayout.handover.files.prescription import (
    SLACK,
    prescription_notes,
    prescription_table,
    prescriptions,
    short_names,
    write_guidance,
    write_prescriptions,
)
from geolayout.plan.stand import Rate, Sowing, rate_of

ONE_DRILL = STRIPS.replace('operation = "plant"', 'operation = "drill"')
EVERY = [pytest.param(name, id=name) for name in SAMPLES]
BY_HAND = {"market_plots"}  # no machine sows there, so there is no rate to be off line from


def by_product(layout, slack=SLACK):
    return {one.product: one for one in prescriptions(layout, slack)}


def rate_at(prescription, points):
    """Return the rate that a terminal would look up at points. [as the prescription]"""
    rates = np.full(len(points), np.nan)
    for zone in prescription.zones:
        rates[shapely.covers(zone.wide, points)] = zone.rate
    return rates


# On paper: bands of 6 m x 100 m. Maize true: 5 x 600 m2 = 0.3 ha.
# Widened: the first band lies on the field's edge and gains on one side and at two ends, the other
# four on both sides: 1 x (6.2 x 100.4) + 4 x (6.4 x 100.4) = 622.48 + 2570.24 = 3192.72 m2.
def test_maize_on_paper_is_widened_into_land_the_planter_does_not_sow():
    maize = by_product(paper_layout())["maize"]
    sown, rest = maize.zones
    assert (sown.rate, rest.rate) == (80000.0, 0.0)
    assert sown.true.area == pytest.approx(3000.0, rel=1e-4)
    assert sown.wide.area == pytest.approx(3192.72, rel=1e-4)
    assert rest.true.area == pytest.approx(7200.0 - 3000.0, rel=1e-4)


def test_nothing_is_widened_into_ground_of_the_same_operation():
    # One drill sows both: maize gains at the ends only. 5 x (6 x 0.2 x 2) = 12 m2, and 0.2 m of
    # corner beside the beans is beans' headland too: the higher rate takes it, 0.2 x 0.2 m each.
    layout = paper_layout(ONE_DRILL)
    both = by_product(layout)
    beans = shapely.union_all(layout.ground.geometry[layout.ground.stand == "beans"])
    # overlays lie on a grid of 1e-10 m: ten borders of 100 m may move by 1e-7 m2 together
    assert shapely.intersection(both["maize"].zones[0].wide, beans).area < 1e-7
    gained = both["maize"].zones[0].wide.area - 3000.0
    assert 12.0 <= gained < 12.0 + 20 * 0.2 * 0.4


@pytest.mark.parametrize("shift", [0.05, 0.10, 0.20], ids=lambda s: f"{s * 100:.0f} cm off line")
@pytest.mark.parametrize("side", [-1, 1], ids=["to the left", "to the right"])
@pytest.mark.parametrize("name", [one for one in EVERY if one.id not in BY_HAND])
def test_rows_off_line_keep_their_rate_where_the_neighbour_is_not_sown(name, side, shift):
    layout = sample_layout(name)
    rows = layout.rows
    middles = shapely.get_coordinates(
        shapely.line_interpolate_point(rows.lines.geometry, 0.5, normalized=True)
    )
    known = by_product(layout)
    checked = 0
    for i in range(0, len(rows), 7):
        block = layout.blocks[rows.block[i]]
        sowing = block.stands[rows.cut[i]].sowing[rows.sowing[i]]
        if sowing.crop not in known or known[sowing.crop].operation != sowing.operation:
            continue
        moved = shapely.Point(middles[i] + side * shift * block.guides.sideways)
        if not layout.field.land.covers(moved) or sown_there(layout, moved, sowing.operation, i):
            continue
        assert rate_at(known[sowing.crop], [moved])[0] == rate_of(sowing).amount
        checked += 1
    assert checked > 20


def sown_there(layout, point, operation, row):
    """Whether a point lies on another band that the same operation sows."""
    hit = np.flatnonzero(shapely.intersects(layout.ground.geometry, point))
    own = layout.rows.cut[row]
    stands = [layout.plan.stand(layout.ground.stand[i]) for i in hit if layout.ground.cut[i] != own]
    return any(s.operation == operation for stand in stands if stand for s in stand.sowing)


def test_without_slack_an_outer_row_off_line_would_lose_its_rate():
    layout = paper_layout()
    # the outer bean row stands 0.125 m inside its band; 0.20 m off line it is outside
    outside = shapely.Point(-30.0 + 6.0 - 0.075, 0.0)
    assert rate_at(by_product(layout, 0.0)["field beans"], [outside])[0] == 0.0
    assert rate_at(by_product(layout)["field beans"], [outside])[0] == 40.0


@pytest.mark.parametrize("name", EVERY)
def test_zones_cover_the_field_without_gap_or_overlap(name):
    layout = sample_layout(name)
    for one in prescriptions(layout):
        wide = [zone.wide for zone in one.zones]
        assert sum(area.area for area in wide) == pytest.approx(layout.field.land.area, rel=1e-9)
        assert shapely.union_all(wide).area == pytest.approx(layout.field.land.area, rel=1e-9)
        true = sum(zone.true.area for zone in one.zones)
        assert true == pytest.approx(layout.field.land.area, rel=1e-9)


@pytest.mark.parametrize("name", EVERY)
def test_zones_in_the_table_share_their_edges(name):
    layout = sample_layout(name)
    for one in prescriptions(layout):
        shapes = np.asarray(prescription_table(layout, one).geometry.array)
        assert shapely.is_valid(shapes).all()
        whole = shapely.union_all(shapes).area
        assert abs(shapely.area(shapes).sum() / whole - 1) < 1e-9


def test_files_hold_rate_unit_product_zone_and_true_area(tmp_path):
    layout = paper_layout()
    lines = write_prescriptions(layout, tmp_path, ())
    assert [line.split(".shp")[0] for line in lines] == ["maize", "fieldbea"]
    with shapefile.Reader(str(tmp_path / "maize.shp"), encoding="utf-8") as reader:
        records = [record.as_dict() for record in reader.records()]
        assert reader.shapeTypeName == "POLYGON"
    assert records == [
        {"RATE": 80000.0, "UNIT": "plants/ha", "PRODUCT": "maize", "ZONE": 1, "AREA_HA": 0.3},
        {"RATE": 0.0, "UNIT": "plants/ha", "PRODUCT": "maize", "ZONE": 0, "AREA_HA": 0.42},
    ]
    table = pyogrio.read_dataframe(tmp_path / "fieldbea.shp")
    assert list(table["RATE"]) == [40.0, 0.0]
    assert table["AREA_HA"].sum() == pytest.approx(0.72)
    assert "wider" in (tmp_path / "README.txt").read_text(encoding="utf-8")


def test_a_share_is_multiplied_out():
    # half of 180 kg/ha
    peas = by_product(sample_layout("wire_field"))["oats"]
    assert [zone.rate for zone in peas.zones] == [180.0, 90.0, 0.0]


def test_a_share_of_nothing_known_is_no_rate():
    sowing = Sowing(crop="oats", spacing=0.125, rate=Rate(share=0.5))
    assert rate_of(sowing) is None


def test_a_product_without_a_rate_has_no_prescription_and_says_so():
    layout = paper_layout(STRIPS.replace(", rate = { plants_per_ha = 80000 }", ""))
    assert list(by_product(layout)) == ["field beans"]
    notes = prescription_notes(layout)
    assert len(notes) == 2
    assert notes[0].startswith("maize (plant) has no rate on some of its ground")
    assert notes[1].startswith("grass: no operation sows it")


def test_nothing_to_prescribe_writes_no_file(tmp_path):
    layout = paper_layout(
        STRIPS.replace(', operation = "plant"', "").replace(', operation = "drill"', "")
    )
    assert write_prescriptions(layout, tmp_path, ()) == []
    assert list(tmp_path.iterdir()) == []


def test_guidance_is_one_file_an_operation_and_says_what_it_is(tmp_path):
    lines = write_guidance(paper_layout(), tmp_path, ())
    assert lines == [
        "plant.shp: plant, planter, 6 m wide, 5 passes, 5 lines.",
        "drill.shp: drill, drill, 3 m wide, 10 passes, 10 lines.",
    ]
    assert "two points" in (tmp_path / "README.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "names"),
    [
        pytest.param(["maize"], ["maize"], id="a short word stays"),
        pytest.param(["field beans"], ["fieldbea"], id="eight letters at most"),
        pytest.param(["oats", "oats", "oats"], ["oats", "oats2", "oats3"], id="each its own"),
        pytest.param(["Größe"], ["groe"], id="plain letters only"),
        pytest.param(["日本"], ["product"], id="no plain letter at all"),
    ],
)
def test_file_names_are_short_and_plain(words, names):
    assert short_names(words) == names


def test_zones_that_do_not_add_up_to_the_field_are_never_handed_over(monkeypatch):
    # an overlay that goes wrong in silence, as one did on a real field
    monkeypatch.setattr("geolayout.handover.files.rateground.without", lambda land, _: land)
    with pytest.raises(LayoutError, match="The rates of a product cover"):
        prescriptions(paper_layout())
