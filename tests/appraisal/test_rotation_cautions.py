"""Crops on their own land and beside it, volunteers and nitrogen. Plans are invented."""

import pytest
from appraisal_layouts import layout_of, of_key
from rotation_plans import EXCHANGED, TWO

from geolayout.appraisal.rotation.cautions import rotation_cautions
from geolayout.appraisal.rotation.nitrogen import CREDITS, nitrogen_credits


def found(*parts, year=2028):
    return rotation_cautions(layout_of(*parts, year=year))


def second(keys):
    return f"[[season]]\nyear = 2028\n{keys}\n"


@pytest.mark.parametrize(
    ("keys", "shares"),
    [
        # With two crops one strip is the only full change of land; 1.5 strips put half on its own
        pytest.param("shift_bands = 1", [], id="one strip"),
        pytest.param("shift_bands = 1.5", [50.0, 50.0], id="one and a half"),
        pytest.param("", [100.0, 100.0], id="not moved"),
    ],
)
def test_the_same_crop_on_its_own_land(keys, shares):
    cautions = [c for c in found(TWO, second(keys)) if c.key == "same-crop-again"]
    assert [caution.value for caution in cautions] == pytest.approx(shares, abs=0.01)
    assert all("with two crops that alone is a full change" in c.remedy for c in cautions)
    assert all(caution.code == "W26" for caution in cautions)


def test_beside_last_years_land():
    # A B A B ...: each strip has its own crop's old land on one side at least
    (caution,) = [c for c in found(TWO, EXCHANGED) if c.key == "beside-last-year"]
    assert (caution.value, caution.severity) == (10.0, "note")
    assert "5 of 5 strips of field beans" in caution.sentence
    assert "5 of 5 strips of maize" in caution.sentence
    assert "With two crops it cannot lie elsewhere" in caution.remedy


FOUR = (
    TWO.split("[[pattern]]")[0]
    + """
[[stand]]
name = "wheat"
sowing = [ { crop = "wheat", spacing = 0.125 } ]
[[stand]]
name = "clover"
sowing = [ { crop = "red clover", place = "broadcast", harvested = false } ]
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
  { name = "C", width = 6.0, stand = "wheat" },
  { name = "D", width = 6.0, stand = "clover" },
]
[[season]]
year = 2027
"""
)


def test_four_crops_can_lie_apart():
    # a shift of two of four bands: nothing lies beside its own old land
    assert [c for c in found(FOUR, second("shift_bands = 2")) if c.code == "W26"] == []
    walking = [c for c in found(FOUR, second("shift_bands = 1")) if c.code == "W26"]
    assert {caution.key for caution in walking} == {"beside-last-year"}
    assert all("1.5 strips or more" in caution.remedy for caution in walking)


def test_history_of_the_whole_field_counts():
    past = '[[history]]\nyear = 2026\ncrops = ["grain maize"]\n'
    cautions = [c for c in found(TWO, past, year=2027) if c.code == "W26"]
    assert [(c.key, c.value) for c in cautions] == [("same-crop-again", 100.0)]


def test_a_year_between_is_not_followed():
    past = '[[history]]\nyear = 2025\ncrops = ["maize"]\n'
    assert found(TWO, past, year=2027) == []


def test_volunteers():
    (caution,) = [c for c in found(TWO, EXCHANGED) if c.code == "W27"]
    assert "maize in beans (A)" in caution.sentence
    assert "field beans in maize (B)" in caution.sentence


@pytest.mark.parametrize(
    ("crop", "years", "low", "high"),
    [
        # 50 to 100 lb/ac: Practical Farmers of Iowa 2021; 60: agprofessional.com; 150 and 75:
        # University of Minnesota Extension; 1 lb/ac is 1.12085 kg/ha
        pytest.param("red clover", 1, 56, 112, id="red clover"),
        pytest.param("soya", 1, 0, 67, id="soya, or none"),
        pytest.param("lucerne", 1, 0, 168, id="lucerne"),
        pytest.param("lucerne", 2, 0, 84, id="lucerne, second year"),
    ],
)
def test_published_credits(crop, years, low, high):
    (one,) = [credit for credit in CREDITS if (credit.crop, credit.years) == (crop, years)]
    assert (round(one.low), round(one.high)) == (low, high)


def test_a_credit_is_a_range_and_a_warning():
    layout = layout_of(FOUR, second("shift_bands = 1"), year=2028)
    told = {one.legume: one for one in nitrogen_credits(layout)}
    # a shift of one: A's ground gets clover, B's maize, C's beans, D's wheat
    assert told["red clover"].after == ("wheat",)
    assert told["red clover"].low_kg_per_ha == pytest.approx(56.0, abs=0.1)
    assert told["field beans"].low_kg_per_ha is None
    cautions = [c for c in rotation_cautions(layout) if c.code == "W33"]
    assert {caution.severity for caution in cautions} == {"warning"}
    assert any("56 to 112 kg/ha" in c.sentence and "no such figure" in c.sentence for c in cautions)
    assert any("no published range" in c.sentence for c in cautions)


def test_the_second_year_after_lucerne():
    past = '[[history]]\nyear = 2025\ncrops = ["lucerne"]\n'
    (credit,) = nitrogen_credits(layout_of(TWO, past, year=2027))
    assert (credit.after, round(credit.high_kg_per_ha)) == (("maize",), 84)


def test_they_are_among_the_cautions():
    assert len(of_key(layout_of(TWO, second(""), year=2028), "same-crop-again")) == 2
