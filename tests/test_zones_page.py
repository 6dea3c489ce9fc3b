"""The page on rate zones: its plan is laid, and its tables are what comes of it."""

import re
import shutil
from pathlib import Path

import numpy as np
import pytest
import rasterio
from sample_layouts import SAMPLE_FOLDER, sample_layout

from geolayout import jobs
from geolayout.appraisal.quantities.zones import zone_figures
from geolayout.appraisal.seed.amounts import seed_amounts
from geolayout.errors import LayoutError, MeasureError
from geolayout.handover.planfile import plan_toml, portable
from geolayout.handover.words.zones import zone_lines
from geolayout.plan.units import IMPERIAL

TEXT = (Path(__file__).parent.parent / "docs" / "zones.md").read_text("utf-8")
(TABLE,) = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)


def job(folder, table=TABLE):
    fields = folder / "fields"
    if not fields.exists():
        shutil.copytree(SAMPLE_FOLDER, fields)
    path = fields / "zones.toml"
    path.write_text((fields / "windy_bank.toml").read_text("utf-8") + table, encoding="utf-8")
    return jobs.read(path)


@pytest.fixture(scope="module")
def layout(tmp_path_factory):
    return jobs.lay(job(tmp_path_factory.mktemp("zones")))


def rows(*titles):
    """Return the cells of every row of the page whose first cell is one of some titles."""
    cells = [line.strip("|").split("|") for line in TEXT.splitlines() if line.startswith("| ")]
    return [[one.strip() for one in row] for row in cells if row[0].strip() in titles]


def test_the_classes_of_the_page_are_those_of_the_field(layout):
    told = zone_figures(layout)
    found = [
        [one.name, f"{one.drawn_m2 / 1e4:.3f} ha", f"{one.area_m2 / 1e4:.3f} ha"]
        for one in told.classes
    ]
    page = rows("light", "middle", "heavy")[:3]
    assert [[row[0], row[2], row[3]] for row in page] == found
    limits = re.findall(r"\d+\.\d+", " ".join(row[1] for row in page))
    assert limits == ["21.15", "21.15", "29.05", "29.05"]
    assert [one.above for one in told.classes[1:]] == pytest.approx([21.15, 29.05], abs=1e-4)
    assert rows("without a value")[0][2] == f"{told.uncovered_m2 / 1e4:.3f} ha"
    whole = f"{layout.field.land.area / 1e4:.3f} ha"
    assert rows("the field")[0][2:] == [whole, whole]


def test_the_seed_of_the_page_is_that_of_the_field(layout):
    barley = zone_figures(layout).sowings[0]
    found = [
        [
            one.name,
            f"{one.ground_m2 / 1e4:.3f} ha",
            f"{one.rate:.0f} seeds/m²",
            f"{one.amount:,.0f}",
        ]
        for one in barley.classes
    ]
    assert rows("light", "middle", "heavy")[3:] == found
    (amount,) = [one for one in seed_amounts(layout) if one.crop == "spring barley"]
    assert rows("together")[0] == ["together", "3.801 ha", "", f"{amount.amount:,.0f}"]
    (plain,) = [
        one for one in seed_amounts(sample_layout("windy_bank")) if one.crop == "spring barley"
    ]
    assert f"{plain.amount:,.0f}" in TEXT


def test_it_is_said_in_words_and_in_acres(layout):
    lines = zone_lines(zone_figures(layout))
    assert lines[0] == (
        "soil conductivity [mS/m] of windy_bank_conductivity.tif: no zone narrower than 12 m or "
        "smaller than 144 m2."
    )
    assert "middle from 21.15 below 29.05: 2.174 ha; 1.971 ha on the map." in lines
    assert any("heavy 360 seeds/m2 on 0.891 ha, 3,208,401" in line for line in lines)
    assert any("acres" in line for line in zone_lines(zone_figures(layout), IMPERIAL))


def test_a_resolved_plan_gives_the_same_seed_again(tmp_path):
    first = job(tmp_path)
    laid = jobs.lay(first)
    plan, files = portable(laid.plan, laid.field, first.drawn)
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "resolved.toml").write_text(plan_toml(plan), encoding="utf-8")
    again = jobs.lay(jobs.read(tmp_path / "resolved.toml"))
    for one, other in zip(seed_amounts(laid), seed_amounts(again), strict=True):
        assert other.amount == pytest.approx(one.amount, rel=1e-9)
    assert zone_lines(zone_figures(again))[0].endswith(
        "rate_zones.geojson: zones as the map has them."
    )


def test_a_rate_a_thousand_times_the_usual_is_refused_unless_accepted(tmp_path):
    odd = job(tmp_path, TABLE.replace("heavy = 360", "heavy = 360000"))
    with pytest.raises(
        MeasureError, match=r"spring barley in class heavy .*--accept spring-barley"
    ):
        jobs.lay(odd)
    assert jobs.lay(odd, accepted=["spring-barley-rate"]).zones is not None


def test_a_map_that_leaves_land_out_is_refused(tmp_path):
    table = TABLE.replace("quantiles = [0.3, 0.7]", "limits = [20, 30]")
    job(tmp_path, table)
    with rasterio.open(tmp_path / "fields" / "windy_bank_conductivity.tif", "r+") as sheet:
        values = sheet.read(1)
        values[:, :20] = np.float32(-9999.0)
        sheet.write(values, 1)
    with pytest.raises(LayoutError, match="of the field without a value"):
        job(tmp_path, table)
