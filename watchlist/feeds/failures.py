"""Why a body could not be had. Each message is one sentence: what, where, what stays true, what to do.

FetchError
├── BadAddress      no http or https address, or a redirect that may not be followed
├── NoAnswer        no such host, no connection, no valid certificate, broken off
├── TooSlow         not done within the deadline
├── TooLarge        more bytes than a feed has
├── TurnedAway      the server answers with an error
├── Unreadable      an encoding that is not read, a damaged one, a web page, nothing at all
└── NoFile          no such file, or none that can be read
"""

from __future__ import annotations


class FetchError(Exception):
    """A body could not be had; the message says why."""


class BadAddress(FetchError):
    """No http or https address, or a redirect that may not be followed."""


class NoAnswer(FetchError):
    """No such host, no connection, no valid certificate, or broken off."""


class TooSlow(FetchError):
    """Not done within the deadline."""


class TooLarge(FetchError):
    """More bytes than a feed has."""


class TurnedAway(FetchError):
    """The server answers with an error status."""


class Unreadable(FetchError):
    """An encoding that is not read, a damaged one, a web page, or nothing at all."""


class NoFile(FetchError):
    """No such file, or none that can be read."""
