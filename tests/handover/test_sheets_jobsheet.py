"""A job sheet tells what is needed in the order it is needed, and nothing lies over anything."""

import re

import pytest
from handed_layouts import IN_FEET, SHEETED, handed_paper, handed_sample
from sample_layouts import STRIPS
from sheet_boxes import all_words, faults, texts

from geolayout.appraisal.caution import HAZARD
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.sheets.jobsheet import job_pages
from geolayout.plan.units import IMPERIAL, METRIC

FORBIDDEN = re.compile(
    r"\b(safe|safely|safety|legal|legally|compliant|clear|cleared)\b|✓|✔", re.IGNORECASE
)
HEADINGS = (
    "Hazards and emergency: read before the engine starts",
    "Is this the right plan?",
    "The way in",
    "Known points: stand on them before the first pass",
    "The first pass",
    "What the screen should show",
    "Which strips",
    "What goes on, and how much",
    "Dig and measure after 20.0 m, and after each change",
    "How to drive",
    "Other widths that work",
    "When it goes wrong",
    "Returns and sign-off",
)


def sheets(handed):
    """Return the job sheets of all operations."""
    operations = range(len(handed.layout.plan.operations))
    return [job_pages(handed, index, f"guidance/lines{index}.shp") for index in operations]


@pytest.mark.parametrize(("name", "units"), [*((name, METRIC) for name in SHEETED), IN_FEET])
def test_no_words_of_any_sample_lie_over_others_or_the_margin(name, units):
    for pages in sheets(handed_sample(name, units)):
        assert [fault for page in pages for fault in faults(page)] == []


def test_parts_stand_in_the_order_they_are_needed():
    words = [text.words for page in sheets(handed_paper())[0] for text in texts(page)]
    places = [words.index(heading) for heading in HEADINGS]
    assert places == sorted(places)


@pytest.mark.parametrize("name", SHEETED)
def test_every_hazard_is_told_in_its_own_words(name):
    handed = handed_sample(name)
    for pages in sheets(handed):
        told = all_words(pages)
        hazards = [one for one in handed.cautions if one.severity == HAZARD]
        for one in hazards[:MOST_HAZARDS]:
            assert one.sentence in told
            assert one.remedy in told
        if len(hazards) > MOST_HAZARDS:
            assert f"{len(hazards) - MOST_HAZARDS} more hazards" in told
        for one in handed.cautions:
            if one.hazard and one.severity != HAZARD:
                assert one.sentence in told
        assert not FORBIDDEN.search(without_names(told))


def without_names(told):
    """Return words without those of people, which may be any."""
    return told.replace("keep-clear", "")


@pytest.mark.parametrize("name", SHEETED)
def test_a_sheet_is_of_few_pages(name):
    """Two sides of one sheet where the plan is plain, two sheets at most."""
    assert all(len(pages) <= 4 for pages in sheets(handed_sample(name)))


def test_figures_by_hand():
    """
    60 by 120 m, headland 10 m at both ends: rows of 100 m, strips 6 m, five of each crop.

    The planter works five strips of 6 m, one pass each: 5 x 6 x 100 m = 0.300 ha. 80,000 plants on
    a hectare at 0.75 m between rows stand 16.7 cm apart: 5 m over 0.1667 m are 30.
    """
    told = all_words(sheets(handed_paper())[0])
    assert "A 1, 3 to 9 by 2 maize 6.00 m 0.300" in told
    assert "80,000 plants/ha" in told
    assert "16.7 cm in the row, so 30 plants in 5.0 m" in told
    assert "passes 5" in told
    assert "3 m (2 passes), 2 m (3 passes)" in told


def test_lines_are_counted_from_the_first_pass():
    """Every second strip is planted: its lines are two widths apart."""
    text = STRIPS.replace('machine = "planter"', 'machine = "planter"\norder = "up and back"')
    told = all_words(sheets(handed_paper(text))[0])
    found = re.search(r"counted from plant \d, \+ towards the east: ([-+0-9a-z ,]*)\.", told)
    assert found is not None
    assert re.fullmatch(r"0, [-+]2 to [-+]8 by 2", found[1])


@pytest.mark.parametrize("name", ["pond_piece", "wire_field"])
def test_the_first_pass_is_told_from_the_gate(name):
    handed = handed_sample(name)
    told = all_words(sheets(handed)[0])
    gate = next(one for one in handed.layout.field.features if one.kind == "gateway")
    way = rf"From {re.escape(gate.label)} it is [\d.]+ m (ahead|to the (left|right))"
    assert re.search(way, told)


def test_without_a_gate_that_is_said():
    told = all_words(sheets(handed_paper())[0])
    assert "No gateway was given: ask for the way in." in told
    assert "No gateway was given to count from." in told


def test_code_and_file_are_on_the_sheet():
    handed = handed_paper()
    told = all_words(job_pages(handed, 0, "guidance/plant.shp"))
    assert told.count(handed.code) == 3  # beside the squares, in a sentence, for the screen
    assert "guidance/plant.shp" in told
    assert "Replaces code" in told


def test_imperial_sheets_have_no_metres():
    told = all_words(sheets(handed_paper(units=IMPERIAL))[1])
    own = told.replace("easting m", "").replace("northing m", "").replace("100 m", "")
    assert "19.69 ft" in own  # 6 m / 0.3048
    assert "acres" in own
    assert not re.search(
        r"\d (m|ha|cm|kg/ha)\b",
        own.split("Is this the right plan?")[1].split("Warnings for this work")[0],
    )


def test_long_and_foreign_names_stand_within_the_margins():
    long = "Ackerbohne und Sommergerste mit Untersaat hinter der alten Ziegelei am Fluss"
    text = STRIPS.replace('"plant"', f'"{long}"').replace('name = "planter"', 'name = "сеялка"')
    text = text.replace('machine = "planter"', 'machine = "сеялка"')
    text = text.replace('"maize"', '"żyto $x$ 玉"')
    handed = handed_paper(text)
    for pages in sheets(handed):
        assert [fault for page in pages for fault in faults(page)] == []
    told = all_words(sheets(handed)[0])
    assert "сеялка" in told
    assert "żyto $x$ □" in told
    first = sheets(handed)[0][0]
    assert any("stands for a letter" in text.words for text in texts(first))
