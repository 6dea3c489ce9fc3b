"""Small maps of the seasons. Invented."""

import io

import numpy as np
from PIL import Image
from rotation_plans import EXCHANGED, TWO
from sample_layouts import paper_layout

from geolayout.handover.pictures.years import years_png

GUIDE = 'schema = 1\n[guide]\nbearing = 0.0\nfrom = "west"\n'


def seen(*parts):
    picture = years_png(paper_layout(GUIDE + TWO + "".join(parts)))
    return np.asarray(Image.open(io.BytesIO(picture)).convert("RGB"))


def test_one_season_has_no_picture():
    assert years_png(paper_layout(GUIDE + TWO)) is None


def test_two_seasons_stand_side_by_side_and_differ():
    image = seen(EXCHANGED)
    height, width, _ = image.shape
    assert width > height
    left, right = (
        image[: width // 2, : width // 2],
        image[: width // 2, width // 2 : width // 2 * 2],
    )
    assert (left < 250).any()
    assert (right < 250).any()
    assert (left != right).any()


def unlike(image):
    """Return the share of dots that differ between the two maps, below their titles."""
    half = image.shape[1] // 2
    body = slice(image.shape[0] // 6, half - 10)
    return np.mean(image[body, :half] != image[body, half : 2 * half])


def test_equal_seasons_are_more_alike_than_exchanged_ones():
    # hatches begin a part of a dot apart, so equal maps are not equal dot by dot
    assert unlike(seen("[[season]]\nyear = 2028\n")) < 0.6 * unlike(seen(EXCHANGED))


def test_the_same_plan_gives_the_same_bytes():
    layout = paper_layout(GUIDE + TWO + EXCHANGED)
    assert years_png(layout) == years_png(layout)
