"""A small procedure that tells all it can of pins, wires, time, access, tools and torque."""

ROOF_LAMP = """
procedure: roof-lamp
title: Roof lamp does not light
for: Wren 5 estate car (invented)
tools: [multimeter]
points:
  feed: {where: the thick one, connector: lamp plug, pin: 1, wire: BNWH, size: 1.5 mm²}
  earth: {where: the thin one, connector: lamp plug, pin: 2, wire: BK}
  stud: bare bolt on the pillar
steps:
  feed-volts:
    effort: 7 min
    opens: roof trim
    tools: [trim wedge]
    measure: voltage from feed to earth
    accept: at least 11 V
    low: weak
  by-eye:
    measure: voltage across the stud
    accept: at least 11 V
    low: weak
    then: lamp
repairs:
  out: {do: take the lamp out, effort: 2 min}
  fit:
    do: fit the lamp
    effort: 3 min
    parts: roof lamp
    fuse: 10 A
    torque: {lamp screws: 2 N·m, earth bolt: 8 N·m to 10 N·m}
    tools: [torque wrench]
findings:
  weak: {cause: weak, correction: mend it}
  lamp:
    cause: the lamp is open
    correction: change the lamp
    repair: [out, fit]
    prove-with: [by-eye]
"""
