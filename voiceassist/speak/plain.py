"""Text that an engine reads as text."""


def one_line(sentence: str) -> str:
    """``sentence`` on one line, single spaces, without control characters."""
    visible = "".join(c if c.isprintable() else " " for c in sentence)
    return " ".join(visible.split())
