"""A small job that is done by voice in a room, quick to load and to listen to."""

from pathlib import Path

from liveroom import Room

PHRASES = Path(__file__).parents[1] / "audio_fixtures" / "demo"
AFFIRM, DONE = PHRASES / "05-affirm.wav", PHRASES / "20-done.wav"
VOLTS, BRIGHT = PHRASES / "03-battery.wav", PHRASES / "09-feed-lamp.wav"

#: A whole job in five answers, with each kind of turn.
JOB = """
procedure: lamp-supply
title: the lamp stays dark
for: an invented vehicle
points: {feed: pin one with the red wire}
conditions:
  key: {off: turn the key off, run: turn the key to run}
cautions:
  blades: {signal: WARNING, hazard: the fan may start by itself, avoid: keep your fingers clear}
steps:
  supply:
    caution: blades
    needs: {key: run}
    measure: voltage at the feed
    accept: 11.8 V to 12.9 V
    fail: flat
  lamp:
    lamp: between the feed and body earth
    then: fine
    off: flat
    dim: flat
findings:
  fine: {cause: the supply of the lamp is good, correction: change the bulb}
  flat: {cause: the supply is weak, correction: charge the battery}
"""
#: What is said, and the kind of line it leads to.
ANSWERS = (
    ("acknowledged", AFFIRM),
    ("ask", DONE),
    ("reading", VOLTS),
    ("reading", BRIGHT),
    ("end", DONE),  # the job stays open until somebody says so
)


def arguments(folder: Path) -> tuple[str, ...]:
    """Arguments of a session of it, with its procedure and records in ``folder``."""
    path = folder / "lamp-supply.yaml"
    path.write_text(JOB, encoding="utf-8")
    return (str(path), "--records", str(folder / "records"))


def readings(here: Room) -> list[str]:
    """What the session took for readings."""
    return [str(line["shown"]) for line in here.lines if line["event"] == "reading"]
