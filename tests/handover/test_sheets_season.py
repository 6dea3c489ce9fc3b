"""The farmer's page has what to buy, what is done, and what to look out for."""

import pytest
from handed_layouts import IN_FEET, SHEETED, handed_paper, handed_sample
from sheet_boxes import all_words, faults, texts

from geolayout.handover.sheets.season import season_pages
from geolayout.handover.words.seed import short_order
from geolayout.plan.units import METRIC


@pytest.mark.parametrize(("name", "units"), [*((name, METRIC) for name in SHEETED), IN_FEET])
def test_no_words_lie_over_others_or_the_margin(name, units):
    pages = season_pages(handed_sample(name, units))
    assert [fault for page in pages for fault in faults(page)] == []


@pytest.mark.parametrize("name", SHEETED)
def test_the_whole_order_and_every_hazard_are_there(name):
    handed = handed_sample(name)
    told = all_words(season_pages(handed))
    for line in short_order(handed.figures.seed_order):
        assert " ".join(line.split()) in told
    for one in handed.cautions:
        if one.hazard and one not in handed.hazards[5:]:
            assert one.sentence in told


def test_ground_by_hand():
    """Five strips of 6 x 100 m of each crop are 0.300 ha, the headland 2 x 60 x 10 m 0.120 ha."""
    told = all_words(season_pages(handed_paper()))
    assert "maize 0.300 0.000 0.000" in told
    assert "beans 0.300 0.000 0.000" in told
    assert "grass 0.000 0.120 0.000" in told


def test_every_operation_has_its_line():
    told = all_words(season_pages(handed_paper()))
    assert "plant planter 6 m 5" in told
    assert "drill drill 3 m 10" in told


def test_trees_are_there_where_there_are_trees():
    handed = handed_sample("crooked_hedge")
    assert f"{handed.figures.trees.trees} trees in" in all_words(season_pages(handed))
    headings = [text.words for page in season_pages(handed_paper()) for text in texts(page)]
    assert "Trees" not in headings


def test_only_what_is_ordered_has_a_box_to_tick():
    handed = handed_sample("crooked_hedge")
    told = all_words(season_pages(handed))
    assert "\u2610 walnut: 542 to set." in told
    for line in handed.figures.tree_order.missing:
        assert line in told
        assert f"\u2610 {line}" not in told
