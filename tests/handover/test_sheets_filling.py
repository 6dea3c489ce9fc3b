"""Where loads end is told by pass, end and metres, with what the last load has to spare."""

import pytest
from handed_layouts import handed_paper
from sample_layouts import STRIPS
from sheet_boxes import all_words, faults

from geolayout.handover.sheets.filling import filling_items
from geolayout.handover.sheets.jobsheet import job_pages
from geolayout.handover.sheets.parts import Sentence, Table
from geolayout.plan.units import IMPERIAL

BY_MASS = STRIPS.replace("plants_per_ha = 80000", "kg_per_ha = 200")


def with_hopper(kilograms):
    """Return the plan on paper, its maize sown by mass out of a hopper."""
    return BY_MASS.replace(
        'name = "planter"\nworking_width = 6.0',
        f'name = "planter"\nworking_width = 6.0\nhopper = {kilograms}',
    )


def told(text, **more):
    """Return the sentences, and the rows of the table, of the planter."""
    items = filling_items(handed_paper(text, **more), 0)
    rows = [row for item in items if isinstance(item, Table) for row in item.rows]
    return [item.words for item in items if isinstance(item, Sentence)], rows


def test_ends_of_loads_by_hand():
    """
    Five passes of 100 m and 6 m: 0.06 ha each, 12 kg at 200 kg/ha, 60 kg in all.

    25 kg end after 2 passes and 1 kg of the third, 1/12 of 100 m; 50 kg after 4 passes and 2 kg of
    the fifth, 2/12 of 100 m. Three loads are 75 kg: 15 kg to spare.
    """
    sentences, rows = told(with_hopper(25.0))
    assert sentences[0] == "60.0 kg in all: 3 loads of 25.0 kg, with 15.0 kg to spare in the last."
    assert [row[0] for row in rows] == ["1", "2"]
    assert [row[2].split(" from ")[0] for row in rows] == ["8.3 m", "16.7 m"]
    assert [row[3] for row in rows] == ["91.7 m", "83.3 m"]


def test_the_end_is_that_where_the_pass_begins():
    """Passes run north and south: what is driven north begins at the south end."""
    handed = handed_paper(with_hopper(25.0))
    (order,) = next(one.orders for one in handed.driving if one.operation == "plant")
    _, rows = told(with_hopper(25.0))
    ends = ["the north end" if order.backward[k] else "the south end" for k in (2, 4)]
    assert [row[2].split(" from ")[1] for row in rows] == ends


@pytest.mark.parametrize(
    ("hopper", "said"),
    [
        pytest.param(60.0, "60.0 kg in all: 1 load of 60.0 kg, with 0.0 kg to spare", id="just so"),
        pytest.param(80.0, "60.0 kg in all: 1 load of 80.0 kg, with 20.0 kg", id="one is enough"),
        pytest.param(30.0, "60.0 kg in all: 2 loads of 30.0 kg, with 0.0 kg", id="two to the last"),
    ],
)
def test_loads_and_what_is_to_spare(hopper, said):
    sentences, _ = told(with_hopper(hopper))
    assert sentences[0].startswith(said)


def test_many_ends_are_counted():
    sentences, rows = told(with_hopper(2.0))  # 60 kg: 30 loads, 29 of them end
    assert len(rows) == 12
    assert "17 more loads end later." in sentences


def test_imperial_loads():
    sentences, rows = told(with_hopper(25.0), units=IMPERIAL)
    assert sentences[0].startswith("132.3 lb in all: 3 loads of 55.1 lb")  # 60 and 25 / 0.45359
    assert rows[0][2].startswith("27.3 ft from")  # 8.333 m / 0.3048


def test_nothing_is_said_without_a_hopper():
    assert filling_items(handed_paper(), 0) == ()
    assert "Where loads end" not in all_words(job_pages(handed_paper(), 0, "x.shp"))


def test_it_stands_on_the_job_sheet():
    pages = job_pages(handed_paper(with_hopper(25.0)), 0, "x.shp")
    assert "Where loads end" in all_words(pages)
    assert [fault for page in pages for fault in faults(page)] == []
