"""
What marks the words of a sheet for the catalogues of other languages.

Messages are whole sentences with named gaps, because in another language the gaps stand in another
order. They are retold when the page is set, like all sentences that come from elsewhere.
"""

__all__ = ["say"]


def say(message: str) -> str:
    """
    Return a message as it is; that it stands here puts it into the catalogues.

    Examples
    --------
    >>> say("{count} passes").format(count=3)
    '3 passes'
    """
    return message
