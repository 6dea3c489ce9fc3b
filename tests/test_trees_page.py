"""The page on trees: its plan is laid, and what it says of it holds."""

import json
import re
import shutil
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout import jobs
from geolayout.appraisal.caution import HAZARD
from geolayout.appraisal.cautions import cautions
from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.trees.pegs import tree_pegs
from geolayout.handover.stakeout import peg_files
from geolayout.jobs.light import MapWish, Planting, field_light
from geolayout.jobs.profiles import alley_dict, alleys_of, plan_profiles
from geolayout.land.frames.mapgrid import map_grid

PAGE = Path(__file__).parent.parent / "docs" / "trees.md"
TEXT = PAGE.read_text("utf-8")
FLAT = " ".join(TEXT.split())
(PLAN,) = re.findall(r"```toml\n(.*?)```", TEXT, flags=re.S)


def laid_in(folder, plan):
    shutil.copytree(SAMPLE_FOLDER, folder)
    path = folder / "orchard.toml"
    path.write_text(plan, encoding="utf-8")
    return jobs.lay(jobs.read(path))


@pytest.fixture(scope="module")
def layout(tmp_path_factory):
    return laid_in(tmp_path_factory.mktemp("trees") / "fields", PLAN)


def test_its_counts_and_densities_hold(layout):
    trees = figures(layout).trees
    assert f"{trees.trees} trees in {trees.rows} rows" in FLAT
    assert f"{trees.trees_per_ha_of_field:.1f} trees/ha of the whole field" in FLAT
    assert f"{trees.trees_per_ha_of_pattern_land:.1f} of the land the pattern" in FLAT
    (band,) = trees.by_band
    assert f"{band.trees_per_ha_by_pitch:.1f} trees/ha, would have ordered" in FLAT
    assert f"{trees.years[-1].trees_per_ha_of_field:.1f} trees/ha are left" in FLAT


def test_its_order_holds(layout):
    order = figures(layout).tree_order
    apple_a, apple_b = order.species
    assert f"{apple_a.order} apple A, {apple_b.order} apple B, {order.guards} guards" in FLAT
    assert f"{order.hose_m:.0f} m of hose; {order.fence_m:.0f} m of fence" in FLAT


def test_its_hazards_hold(layout):
    (near,) = [one for one in cautions(layout) if one.key == "trees-near-wires"]
    assert f"and yet {near.count} can come within that" in FLAT
    assert "ripping-over-service" not in {one.key for one in cautions(layout)}


def test_without_the_setback_rows_are_ripped_across_the_drain(tmp_path):
    layout = laid_in(tmp_path / "fields", PLAN.replace("drain = 6.0, ", ""))
    assert "ripping-over-service" in {one.key for one in cautions(layout)}


@pytest.mark.parametrize("every", [5, 8])
def test_its_pollinators_hold(every, tmp_path):
    layout = laid_in(tmp_path / "fields", PLAN.replace("every = 5", f"every = {every}"))
    (one,) = figures(layout).trees.pollination
    assert f"{one.beyond} of {one.trees}" in FLAT


def test_its_check_holds(layout):
    (block,) = tree_pegs(layout)
    assert f"the check are {block.check.diagonal:.2f} m" in FLAT


def test_its_light_holds(layout):
    pytest.importorskip("pvlib", reason="the extra `light` is not installed")
    found = field_light(Planting(layout), MapWish(15.0, cell=4.0))
    (block,) = found.blocks
    told = f"{found.told.trees} trees are left and the crop has {block.mean:.0%} of open light"
    assert f"{told} on the mean, {block.darkest:.0%} at its darkest" in FLAT


def test_its_sheet_has_the_hazards_at_its_head(layout):
    text = peg_files(layout, map_grid("EPSG:32631"), cautions(layout))["planting_sheet.txt"]
    head = " ".join(text[: text.index("How to peg")].split())
    for one in cautions(layout):
        assert (one.sentence in head) == (one.severity == HAZARD)
    for word in ("Overhead lines:", "Pipes and cables:", "Roots and drains:", "Sight lines:"):
        assert word in head


def test_its_picture_is_there_and_small():
    size = (PAGE.parent / "alley_year.png").stat().st_size
    assert 10_000 < size < 300_000


def test_every_key_of_its_alleys_is_in_the_page_on_fit(tmp_path):
    shutil.copytree(SAMPLE_FOLDER, tmp_path / "fields")
    path = tmp_path / "fields" / "orchard.toml"
    path.write_text(PLAN, encoding="utf-8")
    (named,) = plan_profiles(jobs.read_plan(path), None, 60.0)
    (told,) = [alley_dict(fit) for fit in alleys_of(named)]
    page = (PAGE.parent / "fit.md").read_text("utf-8")
    keys = set(told) | set(told["wish"]) | set(told["tree_strips"][0])
    assert sorted(key for key in keys if f"`{key}`" not in page) == []
    assert json.dumps(told)
