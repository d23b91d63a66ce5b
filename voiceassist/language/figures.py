"""Typed figures that would become another number if their signs were passed over."""

import re

_UNCLEAR = re.compile(
    r"""
    \d \s* [-−–—‑+*×/;:<>=±]+ \s* \d   # 3-5  1/2  5 ± 0.2  8;4
    | \d \. \s+ \d                     # 8. 4
    | \d \s+ \d{2}                     # 1 000  1 05
    | [–—‑±<>=+] \s* \d                # –12  <5
    | [-−] (?: \s+ | [-−]+ \s* ) \d    # - 12  --5
    """,
    re.VERBOSE,
)


def unclear_figures(text: str) -> str:
    """The first figures in ``text`` that are no plain number; empty when all are.

    A plain number has its minus directly before it and no sign or gap inside.
    """
    found = _UNCLEAR.search(text)
    return found[0].strip() if found else ""
