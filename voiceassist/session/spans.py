"""Spans of time in words."""

from voiceassist.session.session import SessionSetup


def show_time(setup: SessionSetup, seconds: int) -> str:
    """A length of time in the units that people use for it."""
    if seconds == 1:
        return setup.book.plain("time.second")
    if seconds < 120:
        return setup.book.plain("time.seconds", count=seconds)
    minutes = -(-seconds // 60)
    return setup.book.plain("time.minutes", count=minutes)


def show_age(setup: SessionSetup, seconds: int) -> str:
    """How long ago something was, in whole days, hours or minutes."""
    for key, length in (("day", 86400), ("hour", 3600)):
        if count := seconds // length:
            return setup.book.plain(f"time.{key}" if count == 1 else f"time.{key}s", count=count)
    return show_about(setup, seconds)


def show_about(setup: SessionSetup, seconds: int) -> str:
    """A length of time as a person guesses it, in whole minutes."""
    minutes = -(-seconds // 60)
    if minutes <= 1:
        return setup.book.plain("time.minute")
    return setup.book.plain("time.minutes", count=minutes)
