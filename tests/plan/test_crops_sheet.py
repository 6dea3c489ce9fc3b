"""The crop sheet of the package: whole, sourced, plausible, and found by the names people use."""

import re

import pytest

from geolayout.plan.crops.crop import FACTS, FIGURES, HEIGHTS, Crop
from geolayout.plan.crops.sheet import own_sheet, shipped_sheet

SHEET = shipped_sheet()
SOWN = [crop for crop in SHEET.crops if crop.kind != "tree"]
TREES = [crop for crop in SHEET.crops if crop.kind == "tree"]
EVERY = pytest.mark.parametrize("crop", SHEET.crops, ids=lambda crop: crop.name)
EVERY_SOWN = pytest.mark.parametrize("crop", SOWN, ids=lambda crop: crop.name)
OF_TREES = {"row_spacing", "plants_per_m2", "establishment"}

PRACTICES = {
    "strips": ("maize", "soya", "field beans", "wheat", "sorghum", "cowpea"),
    "wide rows": ("maize", "common beans", "groundnut", "potatoes", "cotton"),
    "mixtures": ("oats", "peas", "barley", "lentils", "camelina", "lupins", "linseed"),
    "companions": ("oilseed rape", "berseem clover", "buckwheat", "crimson clover", "phacelia"),
    "relay": ("winter wheat", "soya"),
    "under-sowing": ("white clover", "red clover", "ryegrass"),
    "perennial understorey": ("lucerne", "subterranean clover", "cocksfoot"),
    "alleys": ("walnut", "wild cherry", "poplar", "apple", "hazel"),
    "windbreaks": ("alder", "hornbeam", "field maple", "willow"),
    "push and pull": ("maize", "desmodium"),
}


def test_there_are_thirty_crops_and_twelve_trees_at_least():
    assert len(SOWN) >= 30
    assert len(TREES) >= 12


@EVERY
def test_every_crop_has_every_value(crop):
    wanted = FIGURES if crop.kind != "tree" else OF_TREES
    assert [key for key in (*wanted, *FACTS) if getattr(crop, key) is None] == []
    assert {window.hemisphere for window in crop.windows} == {"north", "south"}
    assert all(window.region for window in crop.windows)


@EVERY
def test_every_value_has_a_source_with_its_year_or_says_that_it_has_none(crop):
    values = [getattr(crop, key) for key in (*FIGURES, *FACTS)]
    for value in (*(one for one in values if one is not None), *crop.windows):
        for source in value.source.split("; "):
            assert source in ("common practice, no source", "from memory") or re.search(
                r"\b(19|20)\d\d\b|no year", source
            ), source


def test_sources_are_used_and_published_ones_are_many():
    sources = {
        part
        for crop in SHEET.crops
        for key in FIGURES
        if getattr(crop, key) is not None
        for part in getattr(crop, key).source.split("; ")
    }
    assert len(sources) > 50


@EVERY_SOWN
def test_the_seed_of_a_hectare_agrees_with_plants_and_weight(crop):
    """Mass by plants, weight and establishment meets the mass usually sown, within a factor."""
    low = crop.plants_per_m2.low * crop.tgw.low / crop.establishment.high
    high = crop.plants_per_m2.high * crop.tgw.high / crop.establishment.low
    assert low <= crop.kg_per_ha.high
    assert crop.kg_per_ha.low <= high


@EVERY_SOWN
def test_seed_is_not_buried_and_rows_are_no_alleys(crop):
    assert 0.002 <= crop.depth.low <= crop.depth.high <= 0.15
    assert 0.08 <= crop.row_spacing.low <= crop.row_spacing.high <= 3.0


@EVERY
def test_words_are_of_their_lists_and_legumes_fix_nitrogen(crop):
    assert crop.height_class.value in HEIGHTS
    if crop.family.value == "legumes":
        assert crop.nitrogen_fixing.value is True


@pytest.mark.parametrize("practice", PRACTICES)
def test_crops_of_every_practice_are_there(practice):
    assert [name for name in PRACTICES[practice] if SHEET.find(name) is None] == []


@pytest.mark.parametrize(
    ("name", "crop"),
    [
        ("Winter Wheat", "wheat"),
        ("fodder maize", "maize"),
        ("field beans", "field bean"),
        ("runner beans", "common bean"),
        ("late white clover", "white clover"),
        ("sub clover", "subterranean clover"),
        ("ryegrass", "perennial ryegrass"),
        ("winter rye", "rye"),
        ("potatoes", "potato"),
        ("wild cherries", "wild cherry"),
        ("narrow-leafed lupins", "narrow-leafed lupin"),
        ("grapes", None),
        ("quinoa", None),
        ("", None),
    ],
)
def test_crops_are_found_by_the_names_people_use(name, crop):
    found = SHEET.find(name)
    assert (found.name if found is not None else None) == crop


@EVERY
def test_every_crop_is_found_by_each_of_its_names(crop):
    assert {SHEET.find(name).name for name in crop.names} == {crop.name}


def test_own_crops_are_put_over_the_sheet_by_any_name_or_added():
    own = (
        Crop.model_validate({"name": "Corn", "tgw": {"low": 285.0, "high": 295.0}}),
        Crop.model_validate({"name": "sweet rye", "tgw": {"low": 9.0, "high": 9.0}}),
    )
    sheet = own_sheet(own)
    assert len(sheet.crops) == len(SHEET.crops) + 1
    assert sheet.find("fodder maize").tgw.low == 285.0
    assert sheet.find("maize").depth == SHEET.find("maize").depth
    assert sheet.find("sweet rye").tgw.low == 9.0
    assert sheet.find("rye") == SHEET.find("rye")
