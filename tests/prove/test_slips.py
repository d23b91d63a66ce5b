"""What the words of a file give away, and what an examiner asks before a part is condemned.

What goes by a fact of the trade is common practice, no source.
"""

import pytest
from prove.shop import LAMP, changed, proved
from prove.test_safety import SAFE, dangers
from prove.test_watch import VAN

from voiceassist.prove.hazard import Danger

FAN = """
procedure: cab-fan
title: The fan does not run
for: an invented van
cautions: {blades: {signal: WARNING, hazard: the fan can turn, avoid: keep away}}
conditions:
  key: {off: turn the key off, run: turn the key to run}
at-rest: {key: off}
steps:
  feed:
    needs: {key: run}
    caution: blades
    measure: voltage from the feed to the frame
    accept: at least 11 V
    low: feed-side
  current:
    needs: {key: run}
    caution: blades
    measure: current in the white wire, by clamp
    accept: 3 A to 7 A
    low: feed-side
    high: turns
    then: good
  turns:
    needs: {key: off}
    caution: blades
    ask: does the fan turn freely by hand
    accept: yes
    answers: {yes: worn, no: blocked}
repairs:
  new-fan: {needs: {key: off}, do: fit the new fan}
findings:
  feed-side: {cause: the feed is weak, correction: follow the white wire}
  worn:
    cause: the fan takes too much
    correction: change the fan
    condemns: fan
    proved-by: {wheel: turns}
    repair: [new-fan]
    prove-with: [current]
  blocked: {cause: the fan is blocked, correction: clear it}
  good: {cause: all is well, correction: no part changed}
circuit:
  at-first: {key: off}
  tolerance: 5 %
  parts:
    battery: {battery: 12.6 V, tolerance: 1 %, inner-resistance: 20 mΩ, from: plus, to: frame}
    fuse: {fuse: 15 A, from: plus, to: fuse out}
    key: {switch: {key: run}, from: fuse out, to: fed}
    white wire: {wire: 1 m, size: 2.5 mm², from: fed, to: feed}
    fan: {motor: 5 A, voltage: 12 V, from: feed, to: frame}
  answers: {turns: yes}
faults:
  wire-broken: {open: white wire, found-as: feed-side}
  fan-worn: {wrong: fan, value: 9 A to 11 A, found-as: worn}
  leaves: {wrong: fan, value: 9 A to 11 A, found-as: blocked, answers: {turns: no}}
"""


def told(text: str) -> list[str]:
    _, proof = proved(text, 2)
    assert proof.examined is not None
    return [f"{slip.step}: {slip.message}" for slip in proof.examined.slips]


def test_a_procedure_that_asks_and_says_what_it_means_gives_nothing_away() -> None:
    assert told(FAN) == told(SAFE) == []
    assert dangers(FAN) == set()


SHORTER = (
    ("    high: turns\n", "    high: worn\n"),
    ("{wheel: turns}", "{feed: feed}"),
    ("  leaves: {wrong: fan, value: 9 A to 11 A, found-as: blocked, answers: {turns: no}}\n", ""),
)


def test_a_motor_that_takes_too_much_is_not_condemned_before_it_was_turned_by_hand() -> None:
    (message,) = told(changed(FAN, *SHORTER))
    assert message.startswith("current: the 'fan' is condemned since it takes too much")


def test_a_question_for_what_is_bad_that_a_good_vehicle_says_yes_to_is_told() -> None:
    turned = changed(FAN, ("does the fan turn freely by hand", "is the wheel loose or worn"))
    assert any("turns: a good vehicle is answered 'yes'" in one for one in told(turned))
    well = changed(FAN, ("does the fan turn freely by hand", "is the wheel tight and not worn"))
    assert not any("is answered 'yes'" in one for one in told(well))


@pytest.mark.parametrize("do", ["fit the new relay", "fit new motors to the fans"])
def test_a_repair_that_fits_another_part_is_told(do: str) -> None:
    found = told(changed(FAN, ("do: fit the new fan", f"do: {do}")))
    assert ("fit the part that is condemned" in " ".join(found)) == ("fan" not in do)


def test_the_correction_may_name_another_part_that_will_do() -> None:
    both = ("correction: change the fan", "correction: change the fan, or the whole blower box")
    assert told(changed(FAN, both, ("do: fit the new fan", "do: fit the new blower box"))) == []


FUSE_ASKED = (
    ("    fail: feed-side\n", "    fail: whole\n"),
    (
        "findings:\n",
        "  whole:\n    needs: {lights: off}\n    ask: is the fuse whole\n    accept: yes\n"
        "    answers: {yes: feed-side, no: feed-short}\nfindings:\n",
    ),
    (
        "  lamp: {cause",
        "  feed-short: {cause: the wire touches metal, correction: mend it, REPAIR}\n"
        "  lamp: {cause",
    ),
    (
        "fed-short: {short-to-earth: lamp feed, found-as: feed-side}",
        "fed-short: {short-to-earth: lamp feed, found-as: feed-short, answers: {whole: no}}",
    ),
    ("faults:\n", "  answers: {whole: yes}\nfaults:\n"),
)


def short(repair: str) -> str:
    """The lamp with a question for its fuse, and a short that is put right by ``repair``."""
    return (
        changed(LAMP, *FUSE_ASKED, ("REPAIR", repair))
        .replace(
            "  whole:\n    needs: {lights: off, lamp plug: out}\n    measure: resistance across",
            "  ohms:\n    needs: {lights: off, lamp plug: out}\n    measure: resistance across",
        )
        .replace(
            "findings:\n",
            "repairs:\n  mend: {needs: {lights: off}, do: mend the wire}\n"
            "  new-fuse: {needs: {lights: off}, do: fit a new fuse, fuse: 10 A}\nfindings:\n",
            1,
        )
    )


def test_a_short_is_not_proved_as_mended_with_its_fuse_still_blown() -> None:
    (message,) = told(short("repair: [mend], prove-with: [feed]"))
    assert "the fault 'fed-short' blows the fuse" in message
    assert told(short("repair: [mend, new-fuse], prove-with: [feed]")) == []


def test_a_look_at_a_new_fuse_proves_nothing() -> None:
    found = told(short("repair: [mend, new-fuse], prove-with: [whole]"))
    assert any("'feed-short' is proved by a look at the fuse" in one for one in found)


# --- what heat moves ---

BY_AIR = (
    "at least 9 V",
    "\n      by: air\n      table: {at least 0 °C: at least 9 V, at most 0 °C: at least 8 V}",
)
CRANKS = """
procedure: cranks
title: It cranks slowly
for: an invented van
cautions: {moves: {signal: WARNING, hazard: the engine can turn, avoid: keep away}}
conditions:
  key:
    off: turn the key off
    start:
      {do: have the helper crank, ask: did it crank, not: the starter was not cranking, hold: HOLD}
at-rest: {key: off}
steps:
  air: {measure: temperature of the air, accept: at least -40 °C, low: good}
  volts:
    needs: {key: start}
    caution: [battery-gas, moves]
    measure: voltage across the battery posts
    accept: at least 9 V
    low: battery
    then: good
findings:
  battery:
    cause: the battery falls away
    correction: change the battery
    condemns: battery
    proved-by: {air: air}
    prove-with: [volts]
  good: {cause: all is well, correction: no part changed}
circuit:
  at-first: {key: off}
  parts:
    battery: {battery: 12.6 V, inner-resistance: 5 mΩ, from: battery post, to: frame}
    key: {switch: {key: start}, from: battery post, to: feed}
    starter: {motor: 150 A, voltage: 10 V, resistance: 28 mΩ, from: feed, to: frame}
  points: {battery posts: [battery post, frame]}
  answers: {air: 20 °C}
faults:
  worn: {high-resistance: battery, value: 25 mΩ to 80 mΩ, found-as: battery}
""".replace("HOLD", "5 s")


def test_a_battery_is_not_condemned_while_cranking_by_a_limit_that_knows_no_cold() -> None:
    assert any(
        one.startswith("volts: a good battery gives less in the cold") for one in told(CRANKS)
    )
    assert told(changed(CRANKS, BY_AIR)) == []


def test_a_starter_is_not_held_for_a_minute() -> None:
    assert (Danger.HELD, "volts") not in dangers(CRANKS)
    assert (Danger.HELD, "volts") in dangers(changed(CRANKS, ("hold: 5 s", "hold: 60 s")))


def sensor(needs: str) -> str:
    return changed(
        VAN,
        ("needs: {matter: open, key: run}", f"needs: {{matter: open, key: off{needs}}}"),
        ("  key: {off", "  engine: {cold: let the engine cool}\n  key: {off"),
        ("voltage from the feed to the frame", "resistance of the coolant sensor"),
        ("accept: 11 V to 13 V", "accept: 50 Ω to 200 Ω"),
        ("    load: {res", "    coolant sensor: {res"),
        ("CAUTION\n", ""), ("INSTRUCTION", "open the flap"), ("KEY", "off"),
    )  # fmt: skip


def test_the_ohms_of_a_sensor_that_goes_by_heat_are_read_at_a_heat_that_is_told() -> None:
    assert any("the ohms of this sensor go by its heat" in one for one in told(sensor("")))
    assert told(sensor(", engine: cold")) == []


# --- dangers ---


def test_no_hand_is_put_to_a_fan_that_runs() -> None:
    runs = (
        "    needs: {key: off}\n    caution: blades\n    ask",
        "    needs: {key: run}\n    caution: blades\n    ask",
    )
    assert (Danger.TOUCHED, "turns") in dangers(changed(FAN, runs))


def test_a_caution_about_codes_is_none_about_the_battery_itself() -> None:
    codes = changed(SAFE, ("caution: battery-gas", "caution: battery-disconnect"))
    assert (Danger.CAUTION, "battery") in dangers(codes)


@pytest.mark.parametrize(
    ("do", "more"),
    [("fit the new sensor, and bleed the coolant", ""), ("drain the coolant", ", caution: loud")],
)
def test_coolant_that_comes_out_wants_a_caution_of_heat(do: str, more: str) -> None:
    loud = "cautions: {loud: {signal: CAUTION, hazard: it is loud, avoid: plug your ears}}"
    work = changed(
        VAN, ("CAUTION", loud), ("INSTRUCTION", "open the flap"), ("KEY", "off"),
        ("do: mend the wire", f"do: '{do}'{more}"),
    )  # fmt: skip
    assert (Danger.CAUTION, "work") in dangers(work)
    hot = changed(work, (f"do: '{do}'{more}", f"do: '{do}', caution: hot-coolant"))
    assert (Danger.CAUTION, "work") not in dangers(hot)


RED = "{wire: 1 m, size: 6 mm²"


def live(do: str, fuse: str = "") -> str:
    """A wire that is always live, before the switch, and ``do`` to mend it."""
    before = f"    fuse: {{fuse: {fuse}, from: plus, to: fuse out}}\n" if fuse else ""
    start = "fuse out" if fuse else "plus"
    wire = f"{before}    red wire: {RED}, from: {start}, to: red end}}\n"
    return changed(
        VAN,
        ("CAUTION\n", ""), ("INSTRUCTION", "open the flap"), ("KEY", "off"),
        ("do: mend the wire", f"do: '{do}'"),
        ("    key: {switch", f"{wire}    key: {{switch"),
        ("from: plus, to: fed", "from: red end, to: fed"),
        ("faults:\n", "faults:\n  red-broken: {open: red wire, found-as: bad}\n"),
    )  # fmt: skip


def test_an_unfused_live_wire_is_mended_with_the_clamp_off() -> None:
    assert (Danger.CLAMP, "work") in dangers(live("mend the wire"))
    assert (Danger.CLAMP, "work") in dangers(live("mend the wire", "100 A"))
    assert (Danger.CLAMP, "work") not in dangers(live("mend the wire", "15 A"))
    off = "minus clamp off, mend the wire, and minus clamp on last"
    assert (Danger.CLAMP, "work") not in dangers(live(off))


def test_a_file_that_leaves_the_plug_out_by_its_own_words_is_told() -> None:
    out = changed(
        SAFE, ("at-rest: {lights: off, lamp plug: in}", "at-rest: {lights: off, lamp plug: out}")
    )
    assert (Danger.LEFT, "") in dangers(out)


@pytest.mark.parametrize("words", ["a new fuse of twenty amps", "a new 20 amp fuse"])
def test_a_fuse_that_is_told_in_words_has_the_rating_of_the_circuit(words: str) -> None:
    told_so = ("do: fit a new fuse, fuse: 10 A", f"do: fit {words}")
    assert (Danger.FUSE_RATING, "new-fuse") in dangers(changed(SAFE, told_so))
    right = (told_so[0], told_so[1].replace("twenty", "ten").replace("20", "10"))
    assert (Danger.FUSE_RATING, "new-fuse") not in dangers(changed(SAFE, right))
