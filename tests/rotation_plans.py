"""Plans of several years for the tests of rotations. Invented."""

TWO = """
[[stand]]
name = "maize"
sowing = [ { crop = "maize", spacing = 0.75 } ]
[[stand]]
name = "beans"
sowing = [ { crop = "field beans", spacing = 0.25 } ]
[[pattern]]
name = "strips"
bands = [
  { name = "A", width = 6.0, stand = "maize" },
  { name = "B", width = 6.0, stand = "beans" },
]
[[season]]
year = 2027
"""
EXCHANGED = '[[season]]\nyear = 2028\ngrows = { A = "beans", B = "maize" }\n'
"""The year after, the two stands having changed places."""
