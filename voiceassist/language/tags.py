"""The tags that grammar files may use, the same in every language.

A tag is a word and, mostly, one argument. The tags that a phrase passes, in order, are folded
into its meaning by ``semantics``; ``unfold`` goes the other way.

Numbers
    digit D         one more digit: {digit 1} {digit 0} {digit 4} is 104
    add N           a counting word: {add 20} {add 5} is 25
    times M         what stands before, below M, so many times: {add 2} {times 100} {add 5} is 205;
                    with nothing below M before it, M itself
    join            ends a counting word; the next one's digits follow it:
                    {add 12} {join} {add 6} is 126
    point           the decimal point; after it, all digits go behind it, {add 25} as 25
    plus F          so much more: {add 1} {plus 0.5} is 1.5
    minus           below zero
    scale E         so many powers of ten, said after the number: {scale 6} is a million
Units
    unit SYMBOL     as in ``measure.units``: {unit mV}
    prefix P        before a {unit}: {prefix m} {unit V} is mV
    lone P          a prefix said without its unit: of the step's own unit, or plain thousands
Readings
    label NAME      names the reading it stands before
    then            the next reading begins
    restart         what was read before does not count: "it was twelve, now it's thirteen"
    instead         the same, but its unit is that of what comes in its place, where that has none:
                    "ninety millivolts, no, nineteen"
    nearly, mends   the same, but it must be about what comes in its place, or the last digits of
                    that, or all together means nothing: "just shy of twelve, eleven nine",
                    "twelve two, sorry, six, twelve six"
    spread          the two readings are the lowest and highest of a wandering one
    check           what follows are the digits of the same value; they must agree with it
    over-range      the meter is over its range
    lamp NAME       a lamp state
Words
    answer NAME, command NAME, correction (what follows replaces what was said)
    about NAME      what the command or correction is about: a step, a condition, a reason
Identifiers
    identifier NAME "vin", "repair-order" or "odometer"; then {char C} for anything but digits,
                    {digit D}, {add N} and {join}; a {char} of several letters stands apart
"""

from functools import lru_cache

#: Every tag, and whether it takes an argument.
TAGS = {
    "digit": True,
    "add": True,
    "times": True,
    "join": False,
    "point": False,
    "plus": True,
    "minus": False,
    "scale": True,
    "unit": True,
    "prefix": True,
    "lone": True,
    "label": True,
    "then": False,
    "restart": False,
    "instead": False,
    "nearly": False,
    "mends": False,
    "spread": False,
    "check": False,
    "over-range": False,
    "lamp": True,
    "answer": True,
    "command": True,
    "correction": False,
    "about": True,
    "identifier": True,
    "char": True,
}


@lru_cache(maxsize=4096)
def split(tag: str) -> tuple[str, str]:
    """The tag's word and its argument, empty when it has none."""
    word, _, argument = tag.partition(" ")
    return word, argument.strip()


def fault(tag: str) -> str:
    """What is wrong with a tag; empty when nothing is."""
    word, argument = split(tag)
    if word not in TAGS:
        return f"{{{tag}}} is not a tag; use one of {', '.join(TAGS)}"
    if TAGS[word] != bool(argument):
        return f"{{{tag}}} {'needs an argument' if TAGS[word] else 'takes no argument'}"
    return ""
