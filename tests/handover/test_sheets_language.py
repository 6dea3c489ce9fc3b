"""Every word of a sheet is told in the second language, and what stands in files stays as it is."""

import re
from dataclasses import replace

import pytest
from handed_layouts import handed_paper, handed_sample
from sample_layouts import STRIPS
from sheet_boxes import faults, texts
from sheet_messages import spoken_messages

from geolayout.handover.sheets.catalogue import messages, po_messages
from geolayout.handover.sheets.jobsheet import job_pages
from geolayout.handover.sheets.planting import planting_pages
from geolayout.handover.sheets.retell import GAP, Tongue, figures_of
from geolayout.handover.sheets.season import season_pages
from geolayout.handover.sheets.stripmap import strip_pages
from geolayout.plan.printing import A4, LANGUAGES, LETTER, Printing

OTHERS = [language for language in LANGUAGES if language != "en"]
GERMAN = Printing(A4, "de")
ENDINGS = 1
"""Gaps that may be left out: the `s` of an English plural. [-]"""

SHOWN = ("pond_piece", "crooked_hedge", "wire_field", "market_plots")


def pages_of(handed):
    """Return all pages of text of a folder."""
    layout = handed.layout
    pages = [*season_pages(handed), *strip_pages(handed)]
    for index in range(len(layout.plan.operations)):
        pages += job_pages(handed, index, f"guidance/lines{index}.shp")
    return [*pages, *(planting_pages(handed, "planting.pdf") if len(layout.trees) else [])]


@pytest.mark.parametrize("language", OTHERS)
def test_every_message_of_the_house_is_translated(language):
    known = {message.source for message in messages(language)}
    lacking = {text: module for text, module in spoken_messages().items() if text not in known}
    assert lacking == {}


def test_the_messages_are_found_in_the_code():
    """Sentences of cautions, of sheets and of lists, with gaps of both kinds."""
    found = spoken_messages()
    assert found["It can break or tip under a loaded machine, and a wide one can go over its edge."]
    assert found["{0} can reach it"].endswith("standing.py")
    assert found["Order: {order}."].endswith("jobsheet.py")
    assert len(found) > 700


@pytest.mark.parametrize("language", OTHERS)
def test_every_translation_has_the_gaps_of_its_message(language):
    odd = [
        one.source
        for one in messages(language)
        if not set(GAP.findall(one.target)) <= set(GAP.findall(one.source))
        or len(set(GAP.findall(one.source)) - set(GAP.findall(one.target))) > ENDINGS
    ]
    assert odd == []


@pytest.mark.parametrize("language", OTHERS)
def test_every_message_is_known_again_with_its_gaps_filled(language):
    """Gaps hold names that mean nothing; what comes back is the translation with those names."""
    names = [f"Qx{k}y" for k in range(12)]
    retell = Tongue(language, names)
    lost = []
    for one in messages(language):
        gaps = list(dict.fromkeys(GAP.findall(one.source)))
        if len(gaps) < 1 or "" in gaps or "geo:" in one.source:
            continue
        told = dict(zip(gaps, names, strict=False))
        source, target = (GAP.sub(lambda gap: told[gap[1]], x) for x in (one.source, one.target))  # noqa: B023
        if retell(source).strip().lower() != figures_of(target).strip().lower():
            lost.append((source, retell(source)))
    # Joints between gaps alone, such as "{0} to {1}{2}", may be read in more than one way.
    assert [one for one in lost if sum(map(str.isalpha, GAP.sub("", one[0]))) > 60] == []
    assert len(lost) <= 0.06 * len(messages(language))


@pytest.mark.parametrize("name", SHOWN)
def test_a_sheet_in_german_has_no_english_words_but_names(name):
    handed = replace(handed_sample(name), printing=GERMAN)
    english = _english_words()
    left = {}
    for page in pages_of(handed):
        for text in texts(page):
            words = _own_words(text.words, handed)
            if found := english & set(re.findall(r"\b[a-zäöüß]{2,}\b", words)):
                left[text.words] = found
    assert left == {}


def _english_words():
    """Return small words that stand in English messages and in no German one."""
    said = {word for text in spoken_messages() for word in re.findall(r"\b[a-z]{3,}\b", text)}
    german = {word.lower() for one in messages("de") for word in re.findall(r"\w{2,}", one.target)}
    return (
        said
        - german
        - {"tillering", "sown", "south", "north", "east", "west", "harvest", "fence", "sowing"}
    )


def _own_words(words, handed):
    """Return words without names of the plan, keys, files, and publications in brackets."""
    for name in sorted(_parts_of_names(handed), key=len, reverse=True):
        words = re.sub(rf"\b{re.escape(name)}\b", "", words)
    return re.sub(
        r"\([^)]*(\d{4}|year|Jahr)[^)]*\)?|\w+_\w+|\w+[./]\w+|\w+ =|\"[^\"]*\"", "", words
    )


def _parts_of_names(handed):
    """Return names, and the words in them, for a line may end within a name."""
    names = handed.words._names
    return {part for name in names for part in (name, *name.split())}


def test_the_test_for_english_words_can_fail():
    words = _own_words("Die Kante gives way under a wheel", handed_paper())
    assert _english_words() & set(words.split())


@pytest.mark.parametrize("name", SHOWN)
@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
def test_no_words_lie_over_others_in_german(name, paper):
    handed = replace(handed_sample(name), printing=Printing(paper, "de"))
    for page in pages_of(handed):
        assert (page.width, page.height) == paper.small
        assert faults(page) == []


def test_hazards_are_told_in_german_whole():
    handed = replace(handed_sample("pond_piece"), printing=GERMAN)
    told = " ".join(text.words for page in season_pages(handed) for text in texts(page))
    assert "Spritzmittel, gebeiztes Saatgut und Dünger können hineingelangen" in told
    assert "Gebrauchsanleitung und örtliche Regel entscheiden über Abstände." in told
    assert "(nicht zur Kenntnis genommen)" in told
    assert "Keine Freileitung wurde angegeben" in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        pytest.param("12.50 m", "12,50 m", id="decimals have a comma"),
        pytest.param("80,000 plants/ha", "80.000 Pflanzen/ha", id="thousands have a point"),
        pytest.param("1 April to 31 May 2027", "1. April bis 31. Mai 2027", id="days"),
        pytest.param("52.35269099", "52.35269099", id="coordinates as the screen has them"),
        pytest.param("1, 3 to 9 by 2", "1, 3 bis 9 je 2", id="a list of numbers"),
        pytest.param("Block 2.1, water", "Block 2.1, Wasser", id="a name with a figure"),
        pytest.param("Pond (May 2.5)", "Teich (May 2.5)", id="a name with a month"),
        pytest.param("", "", id="nothing"),
        pytest.param("zzz qqq", "zzz qqq", id="words nobody knows"),
        pytest.param(
            'edge = [ { side = "south", width = 19.3 } ]',
            'edge = [ { side = "south", width = 19.3 } ]',
            id="keys of a plan",
        ),
    ],
)
def test_figures_days_and_names(words, told):
    assert Tongue("de", ["Block 2.1", "May 2.5"])(words) == told


def test_english_stays_as_it_is():
    words = "The pond, 1,000.5 m"
    assert Tongue("en")(words) == words


def test_names_of_the_plan_stay_and_rates_are_german():
    handed = replace(handed_paper(STRIPS.replace('"maize"', '"water"')), printing=GERMAN)
    told = " ".join(text.words for text in texts(job_pages(handed, 0, "guidance/plant.shp")[0]))
    assert "A 1, 3 bis 9 je 2 water 6,00 m 0,300" in told
    assert "80.000 Pflanzen/ha" in told
    assert "guidance/plant.shp" in told


def test_a_catalogue_of_long_lines_is_read_whole():
    text = 'msgid ""\n"one "\n"two"\nmsgstr ""\n"eins "\n"zwei"\n\nmsgid "x"\nmsgstr ""\n'
    (message,) = po_messages(text)
    assert (message.source, message.target) == ("one two", "eins zwei")
