"""Crops as values: what a user's file may say, and the sentence about what it may not."""

import pytest

from geolayout.errors import PlanError
from geolayout.plan.crops.crop import OWN, Crop, Window, over
from geolayout.plan.parse import parse_crops


def crop(keys, name="maize"):
    return f'[[crop]]\nname = "{name}"\n{keys}\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        pytest.param("crop = [", "The crop file cannot be read", id="no TOML"),
        pytest.param("[[krop]]\nname = 'x'", "Did you mean 'crop'", id="a table nobody knows"),
        pytest.param("[[crop]]\nkind = 'tree'", "name is missing", id="no name"),
        pytest.param(crop("tgw = 300"), "must be a table", id="a figure without its ends"),
        pytest.param(crop("tgw = { low = 300 }"), "high is missing", id="half a figure"),
        pytest.param(crop("tgw = { low = 400, high = 200 }"), "Exchange", id="backwards"),
        pytest.param(crop("tgw = { low = 0, high = 200 }"), "tgw from 0", id="from nothing"),
        pytest.param(crop("tgw = { low = -1, high = 2 }"), "0 or more", id="below nothing"),
        pytest.param(
            crop("establishment = { low = 0.8, high = 0.9 }"), "Write 85 for 85 %", id="fractions"
        ),
        pytest.param(
            crop("establishment = { low = 80, high = 105 }"), "1 to 100", id="more than all"
        ),
        pytest.param(crop('height_class = { value = "huge" }'), "low, medium, tall", id="a height"),
        pytest.param(crop("family = { value = true }"), "words in quotes", id="a family yes"),
        pytest.param(crop('harvested = { value = "yes" }'), "without quotes", id="yes in quotes"),
        pytest.param(crop('kind = "shrub"'), "kind", id="a kind nobody knows"),
        pytest.param(
            crop('window = [ { hemisphere = "north", first = 13, last = 2 } ]'),
            "12 or less",
            id="a thirteenth month",
        ),
        pytest.param(
            crop('window = [ { hemisphere = "east", first = 3, last = 4 } ]'),
            "north",
            id="a third hemisphere",
        ),
        pytest.param(crop("") + crop(""), "described twice", id="a crop twice"),
        pytest.param(
            crop('also = ["corn"]') + crop("", "Corn"), "described twice", id="a name of another"
        ),
        pytest.param(
            crop("sole_rate = { share = 0.5 }"), "A share of what", id="a share of nothing"
        ),
        pytest.param(crop("seed = { tgw = -3 }"), "more than 0", id="a lot that cannot be"),
    ],
)
def test_a_bad_file_of_crops_is_one_sentence(text, said):
    with pytest.raises(PlanError, match=said) as caught:
        parse_crops(text)
    assert "\n" not in str(caught.value)


def test_short_names_of_sources_are_written_out():
    (found,) = parse_crops(
        '[sources]\na = "Book A, 2001"\nb = "Book B, 2002"\n'
        + crop(
            'tgw = { low = 1.0, high = 2.0, source = "a; b" }\n'
            'depth = { low = 0.0, high = 0.01, source = "our field book" }\n'
            'kg_per_ha = { low = 1.0, high = 2.0 }\nfamily = { value = "grasses", source = "a" }\n'
            'window = [ { hemisphere = "north", first = 4, last = 4, source = "b" } ]'
        )
    )
    assert found.tgw.source == "Book A, 2001; Book B, 2002"
    assert found.depth.source == "our field book"
    assert found.kg_per_ha.source == OWN
    assert found.family.source == "Book A, 2001"
    assert found.windows[0].source == "Book B, 2002"


def test_own_values_are_put_over_and_the_others_stay():
    known = Crop.model_validate(
        {"name": "rye", "also": ["winter rye"], "tgw": {"low": 28.0, "high": 40.0}, "kind": "tree"}
    )
    own = Crop.model_validate({"name": "Rye", "also": ["ours"], "kind": "field crop"})
    both = over(known, own)
    assert both.names == ("rye", "winter rye", "ours")
    assert (both.kind, both.tgw) == ("field crop", known.tgw)


@pytest.mark.parametrize(
    ("first", "last", "months"),
    [
        (4, 5, (4, 5)),
        (11, 2, (11, 12, 1, 2)),
        (12, 12, (12,)),
        (1, 12, tuple(range(1, 13))),
    ],
)
def test_months_run_over_the_end_of_the_year(first, last, months):
    assert Window(hemisphere="south", first=first, last=last).months == months
