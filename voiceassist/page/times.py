"""Times of a session for people. Pure."""


def clock(at: str) -> str:
    """Hours, minutes and seconds of an RFC 3339 time: "08:00:01"."""
    return at[11:19]


def day_and_minute(at: str) -> str:
    """An RFC 3339 time as people read it, with its offset from UTC: "2026-01-02 08:00 +01:00"."""
    if len(at) < 17:
        return at
    offset = at[-6:] if at[-6] in "+-" else "UTC"
    return f"{at[:10]} {at[11:16]} {'UTC' if offset in {'+00:00', '-00:00'} else offset}"


def length(seconds: float) -> str:
    """A length of time: "41 s", "7 min 5 s", "2 h 3 min"."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"
