"""Land equivalent ratios against published ones, and the open trial data where they are."""

import csv
import os
from pathlib import Path
from statistics import mean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geolayout.appraisal.money.equivalent import land_equivalent, land_saved, partial_ratio
from geolayout.appraisal.seed.rate import Span
from geolayout.errors import MeasureError


def ratio(together, alone):
    """Return the land equivalent ratio of yields that are known."""
    pairs = zip(together, alone, strict=True)
    return land_equivalent([partial_ratio(Span.of(y), Span.of(s)) for y, s in pairs]).low


# Recomputed from the yields that stand beside each ratio in Paut et al. 2024, *A global dataset of
# experimental intercropping and agroforestry studies in horticulture*, Scientific Data 11:5, rows
# read through a copy in a public repository; the papers' own ratios are rounded by them.
PAUT = [
    pytest.param(
        (4.98, 1.01), (6.55, 2.58), 1.15, id="maize and peanut, 10.1016/j.agee.2016.12.026"
    ),
    pytest.param((2297, 3566), (4468, 4520), 1.30, id="maize and bean, 10.1626/pps.17.342"),
    pytest.param((6.11, 0.54), (5.99, 2.30), 1.25, id="mung bean, 10.1088/1755-1315/484/1/012054"),
    pytest.param((2.310, 1.027), (3.439, 1.386), 1.41, id="cowpea, 10.1016/j.fcr.2017.07.008"),
    pytest.param((4038, 392), (4533, 756), 1.409, id="bean in rows, 10.18805/lr.v0iOF.11042"),
    pytest.param((4026, 972), (4265, 1355), 1.66, id="peanut in rows, 10.1626/pps.6.139"),
    pytest.param((2541, 497), (2707, 607), 1.76, id="lablab, 10.1017/S0014479719000206"),
    pytest.param((4316.3, 643.5), (7283.8, 2190.6), 0.89, id="10.1080/03235408.2021.1919592"),
    pytest.param((0.504, 0.493), (0.563, 1.538), 1.21, id="chickpea, 10.1080/21683565.2014.942764"),
]


@pytest.mark.parametrize(("together", "alone", "published"), PAUT)
def test_a_published_ratio_follows_from_its_yields(together, alone, published):
    assert ratio(together, alone) == pytest.approx(published, abs=0.006)


def test_the_ratio_of_the_temperate_note():
    """Association for Temperate Agroforestry, Temperate Agroforester 14(1), 2006, page read."""
    assert ratio((0.7, 1.8), (1.0, 2.0)) == pytest.approx(1.6)


def test_parts_of_a_published_mean_do_not_add_up_to_the_published_ratio():
    """
    A trap: mean partial ratios of maize and soybean, 0.79 and 0.56, add up to 1.35, not to 1.32.

    Xu et al. 2020, Field Crops Research 107661: the ratio was pooled by itself.
    """
    parts = [Span.of(0.79), Span.of(0.56)]
    assert land_equivalent(parts).low == pytest.approx(1.35)
    assert land_equivalent(parts).low != pytest.approx(1.32, abs=0.005)


def test_land_saved_by_hand():
    # a ratio of 1.25: 1 ha together yields what 1.25 ha of sole crops do, 0.25 of 1.25 ha is saved
    assert land_saved(1.25) == pytest.approx(0.2)
    assert land_saved(1.0) == 0.0
    assert land_saved(0.8) == pytest.approx(-0.25)


def test_yields_as_ranges_give_a_range():
    # 4 to 5 of 8 to 10: 4 / 10 at worst, 5 / 8 at best
    assert partial_ratio(Span(4.0, 5.0), Span(8.0, 10.0)) == Span(0.4, 0.625)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        pytest.param(lambda: partial_ratio(Span.of(1.0), Span.of(0.0)), "0 t/ha", id="no sole"),
        pytest.param(lambda: land_saved(0.0), "ratio is 0", id="no yield at all"),
    ],
)
def test_what_yields_nothing_is_refused(call, match):
    with pytest.raises(MeasureError, match=match):
        call()


@given(
    shares=st.lists(st.floats(0.01, 1.0), min_size=1, max_size=5),
    sole=st.floats(0.1, 100.0),
)
def test_crops_that_do_not_affect_each_other_need_as_much_land(shares, sole):
    """Each yields its share of land times its sole yield: parts are the shares, all is 1."""
    parts = [share / sum(shares) for share in shares]
    assert ratio([part * sole for part in parts], [sole] * len(parts)) == pytest.approx(1.0)


def trial_data(name):
    """Return the rows of open trial data beside the repository, or skip."""
    folder = os.environ.get("GEOLAYOUT_TRIAL_DATA")
    places = (
        [Path(folder)]
        if folder
        else [
            parent / "shared" / "reference" / "data" for parent in Path(__file__).resolve().parents
        ]
    )
    for place in places:
        if (place / name).is_file():
            return list(csv.DictReader((place / name).read_text("utf-8").splitlines()))
    pytest.skip(f"no folder of open trial data with {name} lies beside the repository")


# Petersen R.G., Agricultural Field Experiments, 1994, p. 372, by way of the R package agridat.
PETERSEN = [
    pytest.param("1", 0.3591, 0.8049, 1.1640, id="one row of sorghum to four of cowpea"),
    pytest.param("2", 0.6444, 0.8177, 1.4621, id="two rows to three"),
]


def petersen():
    """Return the rows with both crops, and the yields of both sole crops."""
    rows = trial_data("petersen_sorghum_cowpea.csv")
    sole = {
        crop: next(
            float(row[crop]) for row in rows if row["block"] == "NA" and float(row[crop]) > 0
        )
        for crop in ("syield", "cyield")
    }
    return [row for row in rows if row["block"] != "NA"], sole


@pytest.mark.parametrize(("rows_of_sorghum", "sorghum", "cowpea", "both"), PETERSEN)
def test_the_open_trial_with_sole_crops(rows_of_sorghum, sorghum, cowpea, both):
    rows, sole = petersen()
    mine = [row for row in rows if row["srows"] == rows_of_sorghum]
    parts = [
        partial_ratio(Span.of(mean(float(row[crop]) for row in mine)), Span.of(sole[crop]))
        for crop in ("syield", "cyield")
    ]
    assert len(mine) == 4
    assert parts[0].low == pytest.approx(sorghum, abs=5e-5)
    assert parts[1].low == pytest.approx(cowpea, abs=5e-5)
    assert land_equivalent(parts).low == pytest.approx(both, abs=5e-5)


def test_one_block_of_the_open_trial():
    rows, sole = petersen()
    row = next(row for row in rows if row["block"] == "B1" and row["srows"] == "1")
    yields = (float(row["syield"]), float(row["cyield"]))
    assert ratio(yields, (sole["syield"], sole["cyield"])) == pytest.approx(1.0966, abs=5e-5)


def test_the_open_trial_without_sole_crops_adds_up():
    """Mead R., CIMMYT 1990, by way of the R package agridat: no sole plots, so no ratio."""
    rows = trial_data("mead_cowpea_maize.csv")
    assert len(rows) == 72
    assert sum(int(row["cyield"]) for row in rows) == 34_248
    assert sum(int(row["myield"]) for row in rows) == 293_785
    means = {
        nitrogen: mean(int(row["myield"]) for row in rows if row["nitro"] == nitrogen)
        for nitrogen in ("N0", "N1", "N2", "N3")
    }
    assert list(means.values()) == pytest.approx([3141.33, 3908.78, 4468.83, 4802.44], abs=5e-3)
