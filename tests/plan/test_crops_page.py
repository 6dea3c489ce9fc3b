"""The page of the crop sheet: its tables are the data, and its file can be read."""

import re
from pathlib import Path

from geolayout.handover.croppage import sheet_tables
from geolayout.plan.crops.sheet import shipped_sheet
from geolayout.plan.parse import parse_crops

PAGE = (Path(__file__).parents[2] / "docs" / "crops.md").read_text("utf-8")


def test_the_tables_of_the_page_are_those_of_the_data():
    _, tables = PAGE.split("a test holds them equal.\n\n")
    assert tables == sheet_tables(shipped_sheet())


def test_the_page_counts_the_crops_of_the_data():
    trees = sum(crop.kind == "tree" for crop in shipped_sheet().crops)
    sown = len(shipped_sheet().crops) - trees
    assert f"{sown} field crops and companions and {trees} kinds of trees" in " ".join(PAGE.split())


def test_the_file_of_the_page_is_put_over_the_sheet():
    (text,) = re.findall(r"```toml\n(.*?)```", PAGE, re.S)
    sheet = shipped_sheet().with_own(parse_crops(text))
    maize = sheet.find("fodder maize")
    assert (maize.tgw.low, maize.tgw.high) == (285.0, 295.0)
    assert maize.tgw.source == "label of lot 27/114, 2026 (invented)"
    assert maize.plants_per_m2 == shipped_sheet().find("maize").plants_per_m2
    chicory = sheet.find("chicory")
    assert chicory.kg_per_ha.source == "the user's own"
    assert shipped_sheet().find("chicory") is None
