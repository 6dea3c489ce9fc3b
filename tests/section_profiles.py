"""Sections on paper for the tests of what fits. Every figure is invented unless a test names it."""

from geolayout.plan.parse import parse_plan
from geolayout.plan.section.profile import Profile, profile_of

HEAD = 'schema = 1\n[guide]\nbearing = 0.0\nfrom = "west"\n'


def stand(name, *sowings):
    """A stand of one or more sowings, each the inside of its braces."""
    return f'[[stand]]\nname = "{name}"\nsowing = [ {", ".join(f"{{ {s} }}" for s in sowings)} ]\n'


MAIZE = stand("maize", 'crop = "maize", rows = 8, spacing = 0.75, operation = "plant"')
BEANS = stand("beans", 'crop = "field beans", spacing = 0.25, operation = "drill"')
PLANTER = "working_width = 6.0\nrows = 8\nrow_spacing = 0.75"
DRILL = "working_width = 3.0\nrows = 24\nrow_spacing = 0.125"


def bands(*widths, more=""):
    """A pattern of bands A, B ... of widths, grown with maize and beans in turn."""
    told = ", ".join(
        f'{{ name = "{"ABCDEF"[k]}", width = {width}, stand = "{("maize", "beans")[k % 2]}" }}'
        for k, width in enumerate(widths)
    )
    return f'[[pattern]]\nname = "strips"\nbands = [ {told} ]\n{more}\n'


def work(name, keys, over="band", more=""):
    """A machine and its operation, both of one name."""
    machine = f'[[machine]]\nname = "{name}"\n{keys}\n'
    return f'{machine}[[operation]]\nname = "{name}"\nmachine = "{name}"\nover = "{over}"\n{more}\n'


def idle(name, keys):
    """A machine that no operation names."""
    return f'[[machine]]\nname = "{name}"\n{keys}\n'


SOWN = work("plant", PLANTER) + work("drill", DRILL)


def profile(*parts: str, span: tuple[float, float] = (0.0, 60.0)) -> Profile:
    """The section of a plan of one pattern across a span."""
    plan = parse_plan(HEAD + "\n".join(parts))
    return profile_of(plan, plan.pattern(), span)


def strips(*parts: str, span: tuple[float, float] = (0.0, 60.0)) -> Profile:
    """Maize and beans in strips of 6 m, sown, with further machines."""
    return profile(MAIZE, BEANS, bands(6.0, 6.0), SOWN, *parts, span=span)
