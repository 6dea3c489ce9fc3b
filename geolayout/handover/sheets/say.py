"""
The one place that words for a sheet go through, ready for a catalogue of another language.

Messages are whole sentences with named gaps, filled in after they were looked up, because in
another language the gaps stand in another order.
"""

from gettext import NullTranslations

__all__ = ["say"]

CATALOGUE = NullTranslations()
"""Where messages are looked up: English stands for itself."""


def say(message: str) -> str:
    """
    Return a message in the language of the sheet.

    Examples
    --------
    >>> say("{count} passes").format(count=3)
    '3 passes'
    """
    return CATALOGUE.gettext(message)
