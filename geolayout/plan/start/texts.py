"""
The texts of plans to begin with, one for each practice; `$` marks what is filled in.

Every figure is an example and none is advice.
"""

__all__ = [
    "ALLEYS",
    "COMPANION",
    "DORMANT",
    "ENDS",
    "FEATURES",
    "GUIDE",
    "HEAD",
    "MIXTURE",
    "NO_HEADLAND",
    "RELAY",
    "STRIPS",
    "TRIAL",
    "UNDERSOWING",
    "UNDERSTOREY",
    "VARIETIES",
    "WIDE_ROWS",
    "WINDBREAK",
]

HEAD = """
# $title
# A plan to begin with: every figure is an example to change, and none is advice.
schema = 1

[field]
"""

FEATURES = """
# Is there a ditch, pond, hedge, pole, wire, pipe or right of way? Say so here, one table each:
#
# [[feature]]
# kind = "ditch"
# source = "ditch.geojson"          # a file beside this plan
# half_width = 1.0                  # m, from the middle to the top of the bank
# keep_clear = 5.0                  # m; ask whoever owns or watches over it
# measured_from = "top of bank"
"""

GUIDE = """
# The rows run along the longest edge; bands are counted from this side.
[guide]
kind = "straight"
bearing = $bearing               # degrees from true north
from = "$side"
start = 0.0                         # m from that side to the first band
"""

ENDS = """
# Grass to turn on, where the rows end.
[headland]
where = "ends"                      # or "all round", "none"
width = $width                        # m
stand = "grass"

[[stand]]
name = "grass"

[[stand.sowing]]
crop = "grass"
place = "broadcast"
rate = { kg_per_ha = 25 }
"""

NO_HEADLAND = """
# No land is kept for turning: the field is too small for it. Say here if you want some.
[headland]
where = "none"                      # or "ends", "all round", with a width in m

[[stand]]
name = "grass"

[[stand.sowing]]
crop = "grass"
place = "broadcast"
rate = { kg_per_ha = 25 }
"""

_PLANTER = """
[[machine]]
name = "planter"
working_width = 6.0                 # m
rows = 8
row_spacing = 0.75                  # m
turning_radius = 6.5                # m
"""

_DRILL = """
[[machine]]
name = "drill"
working_width = 3.0                 # m
turning_radius = 6.5                # m
"""

_SPRAYER = """
[[machine]]
name = "sprayer"
working_width = 24.0                # m
turning_radius = 7.0                # m
track_width = 1.5                   # m, middle of left to middle of right wheels
tyre_width = 0.4                    # m
"""


def _operation(name: str, machine: str, over: str) -> str:
    """Return the table of one operation."""
    return f'\n[[operation]]\nname = "{name}"\nmachine = "{machine}"\nover = "{over}"\n'


STRIPS = (
    """
# What grows together. Maize in rows of 0.75 m, beans of 0.25 m.
[[stand]]
name = "maize"

[[stand.sowing]]
crop = "maize"
rows = 8
spacing = 0.75
rate = { plants_per_ha = 80000 }
operation = "plant maize"

[[stand]]
name = "beans"

[[stand.sowing]]
crop = "field beans"
spacing = 0.25
rate = { seeds_per_m2 = 40 }
operation = "drill beans"

# One strip of each, over and over; what is left at the far side is a narrower strip.
[[pattern]]
name = "strips"
remainder = "cut"                   # or "widen", "spread", "headland"

[[pattern.bands]]
name = "A"
width = 6.0
stand = "maize"

[[pattern.bands]]
name = "B"
width = 6.0
stand = "beans"

# Two harvests: the crops change places and the strips stay.
[[season]]
year = 2027

[[season]]
year = 2028
grows = { A = "beans", B = "maize" }
"""
    + _PLANTER
    + _DRILL
    + _operation("plant maize", "planter", "band")
    + _operation("drill beans", "drill", "band")
)

WIDE_ROWS = (
    """
# Two rows of maize, then a wide strip of beans, over and over: 6 m in all.
[[stand]]
name = "two maize rows"

[[stand.sowing]]
crop = "maize"
rows = 2
spacing = 0.75
rate = { plants_per_ha = 80000 }
operation = "plant maize"

[[stand]]
name = "beans"

[[stand.sowing]]
crop = "field beans"
spacing = 0.25
rate = { seeds_per_m2 = 40 }
operation = "drill beans"

[[pattern]]
name = "wide rows"
remainder = "cut"

[[pattern.bands]]
name = "M"
width = 1.5
stand = "two maize rows"

[[pattern.bands]]
name = "L"
width = 4.5
stand = "beans"

[[machine]]
name = "two-row planter"
working_width = 1.5                 # m
turning_radius = 6.0                # m

[[machine]]
name = "drill"
working_width = 4.5                 # m
turning_radius = 6.5                # m
"""
    + _operation("plant maize", "two-row planter", "band")
    + _operation("drill beans", "drill", "band")
)

MIXTURE = (
    """
# Oats and peas on the same ground, half of the sole rate each, out of one drill.
[[stand]]
name = "oats and peas"

[[stand.sowing]]
crop = "oats"
spacing = 0.125
rate = { share = 0.5 }
sole_rate = { kg_per_ha = 180 }
operation = "sow"

[[stand.sowing]]
crop = "peas"
place = "broadcast"
rate = { share = 0.5 }
sole_rate = { kg_per_ha = 220 }
operation = "sow"

# One pass of the drill after the other.
[[pattern]]
name = "all over"

[[pattern.bands]]
name = "M"
width = 3.0
stand = "oats and peas"
"""
    + _DRILL
    + _operation("sow", "drill", "band")
)

VARIETIES = (
    """
# Two varieties of wheat out of one hopper; the shares are by weight and add up to 1.
[[stand]]
name = "two wheats"

[[stand.sowing]]
crop = "wheat"
spacing = 0.125
mix = { "variety A" = 0.4, "variety B" = 0.6 }
rate = { kg_per_ha = 180 }
operation = "sow"

[[pattern]]
name = "all over"

[[pattern.bands]]
name = "W"
width = 3.0
stand = "two wheats"
"""
    + _DRILL
    + _operation("sow", "drill", "band")
)

COMPANION = (
    """
# Rape with a row of clover between its rows; the clover is not harvested.
[[stand]]
name = "rape with clover"

[[stand.sowing]]
crop = "rape"
spacing = 0.5
rate = { seeds_per_m2 = 40 }
operation = "sow"

[[stand.sowing]]
crop = "clover"
between = "rape"
rows = 1
harvested = false
rate = { kg_per_ha = 4 }
operation = "sow"

[[pattern]]
name = "all over"

[[pattern.bands]]
name = "A"
width = 3.0
stand = "rape with clover"
"""
    + _DRILL
    + _operation("sow", "drill", "band")
)

RELAY = (
    """
# Twin rows of wheat; a row of soya goes between the pairs while the wheat still stands.
[[stand]]
name = "wheat then soya"

[[stand.sowing]]
crop = "wheat"
at = [0.0925, 0.2825]
every = 0.75
rate = { kg_per_ha = 120 }
operation = "sow wheat"

[[stand.sowing]]
crop = "soya"
at = [0.5625]
every = 0.75
when = { crop = "wheat", stage = "heading" }
rate = { seeds_per_m2 = 35 }
operation = "sow soya"

[[pattern]]
name = "all over"

[[pattern.bands]]
name = "R"
width = 3.0
stand = "wheat then soya"
"""
    + _DRILL
    + _operation("sow wheat", "drill", "band")
    + _operation("sow soya", "drill", "band")
)

UNDERSOWING = (
    """
# White clover broadcast under spring barley; it is left in when the barley is cut.
# The wheelings of the sprayer are not sown with clover.
[[stand]]
name = "barley, under-sown"

[[stand.sowing]]
crop = "spring barley"
spacing = 0.125
rate = { kg_per_ha = 120 }
operation = "sow barley"

[[stand.sowing]]
crop = "white clover"
place = "broadcast"
when = { crop = "spring barley", stage = "tillering" }
skip = ["spray"]
harvested = false
rate = { kg_per_ha = 4 }
operation = "under-sow"

[[pattern]]
name = "all over"

[[pattern.bands]]
name = "A"
width = 3.0
stand = "barley, under-sown"
"""
    + _DRILL
    + _SPRAYER
    + _operation("sow barley", "drill", "band")
    + _operation("under-sow", "drill", "band")
    + _operation("spray", "sprayer", "block")
)

UNDERSTOREY = (
    """
# Maize in clover that stands from year to year; a strip of clover is killed at each maize row.
[[stand]]
name = "maize in clover"

[[stand.sowing]]
crop = "white clover"
place = "standing"
harvested = false

[[stand.sowing]]
crop = "maize"
rows = 8
spacing = 0.75
cleared = 0.3
rate = { plants_per_ha = 70000 }
operation = "plant maize"

[[pattern]]
name = "all over"

[[pattern.bands]]
name = "M"
width = 6.0
stand = "maize in clover"
"""
    + _PLANTER
    + _operation("plant maize", "planter", "band")
)

DORMANT = (
    """
# Oats drilled into summer grass while the grass rests.
[[stand]]
name = "oats in grass"

[[stand.sowing]]
crop = "summer grass"
place = "standing"

[[stand.sowing]]
crop = "oats"
spacing = 0.25
rate = { kg_per_ha = 90 }
operation = "drill oats"

[[pattern]]
name = "all over"

[[pattern.bands]]
name = "P"
width = 3.0
stand = "oats in grass"
"""
    + _DRILL
    + _operation("drill oats", "drill", "band")
)

ALLEYS = (
    """
# Alleys of wheat between tree strips in grass. The field ends with crop at both sides.
[[stand]]
name = "wheat"

[[stand.sowing]]
crop = "wheat"
spacing = 0.125
rate = { kg_per_ha = 180 }
operation = "drill wheat"

[[pattern]]
name = "alleys"
close_with = "A"
remainder = "cut"

[[pattern.bands]]
name = "A"
width = 24.0
stand = "wheat"
min_width = 12.0

[[pattern.bands]]
name = "T"
width = 3.0
whole = true
stand = "grass"

[pattern.bands.trees]
in_row_spacing = 8.0
species = "walnut"
mature_height = 15.0
setback = { boundary = 5.0 }
"""
    + _DRILL
    + _operation("drill wheat", "drill", "band")
)

WINDBREAK = (
    """
# One belt of three tree rows with crop on both sides of it.
[[stand]]
name = "barley"

[[stand.sowing]]
crop = "barley"
spacing = 0.125
rate = { kg_per_ha = 150 }
operation = "drill barley"

[[pattern]]
name = "belt"
repeats = 1
rest = "barley"

[[pattern.bands]]
name = "C"
width = $lee
stand = "barley"

[[pattern.bands]]
name = "W"
width = 9.0
whole = true
stand = "grass"

[pattern.bands.trees]
rows = 3
row_spacing = 2.5
in_row_spacing = 2.0
arrangement = "staggered"
species = ["hazel", "field maple"]
setback = { boundary = 5.0 }
"""
    + _DRILL
    + _operation("drill barley", "drill", "band")
)

TRIAL = (
    """
# A mixture against each of its crops alone. The seed fixes the order of the plots.
[[stand]]
name = "oats and peas"

[[stand.sowing]]
crop = "oats"
spacing = 0.125
rate = { share = 0.5 }
sole_rate = { kg_per_ha = 180 }
operation = "sow"

[[stand.sowing]]
crop = "peas"
place = "broadcast"
rate = { share = 0.5 }
sole_rate = { kg_per_ha = 220 }
operation = "sow"

[[stand]]
name = "oats"

[[stand.sowing]]
crop = "oats"
spacing = 0.125
rate = { kg_per_ha = 180 }
operation = "sow"

[[stand]]
name = "peas"

[[stand.sowing]]
crop = "peas"
spacing = 0.125
rate = { kg_per_ha = 220 }
operation = "sow"

# 3 treatments x $replicates replicates x $width m = $total m. Grass on what is left.
[[pattern]]
name = "trial"

[pattern.trial]
treatments = ["oats and peas", "oats", "peas"]
replicates = $replicates
plot_width = $width
harvest_width = $harvest
seed = 2027
rest = "grass"
"""
    + _DRILL
    + _operation("sow", "drill", "band")
)
