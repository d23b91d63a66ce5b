"""Complaints as people of several regions and strangers to English tell them, by procedure.

Written by hand. ``FIRST`` was used to choose by; nothing may be tuned on ``KEPT``.
"""

_FIRST = """
battery-pair:
    one of the two batteries is boiling
    lorry has two batteries and one always low
    batteries in the truck go flat, one gets hot
blower-resistors:
    heater blower only works on full speed
    blower only works on position four
    no slow speed on the ventilator of the cab
can-termination:
    no communication with modules
    many module dont talk, tester says no communication
    can bus not working
    can bus fault
    modules not talking to each other
    data bus is dead
charging-by-module:
    alternator not charging, it is the one with the module
    smart alternator gives too low voltage
    charge voltage too high with the control by engine computer
coil-or-injector:
    she's missing on one cylinder
    engine running on three
    motor misfire and shaking at idle
comes-and-goes:
    it is an intermittent fault
    sometimes works sometimes not
    cuts out when you go over a bump
dim-headlamp-lorry:
    one headlight dim on the truck
    lorry headlight weak on the left
dim-headlamp:
    nearside headlight is awfully dim
    one head light weak and yellow
    left low beam dont light
door-wires:
    door won't lock
    central locking no work on one door
    driver door lock only sometimes
engine-fan:
    motor is overheating in traffic
    radiator fan never comes on
    fan of radiator is running always
    temp goes up when standing
engine-sensor:
    throttle sensor fault stored
    coolant temperature sensor gives wrong value
five-volt-sensor-supply:
    three sensor codes at once
    several sensors failed at the same time
    check engine light is on with many sensor codes
fuel-pump-pwm:
    the engine is turning but not start, and i dont hear the petrol pump
    petrol pump not working
    cranks but won't fire, no fuel
    gas pump is dead
fuse-blows-again:
    keeps blowing the fuse
    it burns the fuse every time
    i put new fuse and it goes again
glow-plugs:
    diesel hard to start of a cold morning
    white smoke when it starts cold
    preheating is not working
heater-fan-module:
    heater fan keeps running with it switched off
    interior heating fan only one speed
high-voltage-first:
    it's a hybrid, what first
    electric car came in
    car has orange cable and had a crash
key-off-draw:
    battery's dead every morning
    something draining the battery overnight
    parasitic draw
    battery empty after two days standing
no-charging:
    alternator is not charging
    the battery light stays on
    dynamo gives no charge
no-crank:
    turn the key and nothing happens
    starter no click nothing
    dead when I turn the key, engine won't turn over
one-wire-data:
    lin bus dead
    rain sensor module does not answer
rear-lamps:
    indicator is blinking too fast
    tail light dim
    brake light glow when i put blinker
relay-and-socket:
    work lights dont come on
    relay is clicking but no light
rested-battery:
    battery weak, is it good
    how good is the battery
slow-cranking-lorry:
    truck cranks slow
    lorry starter only clicks
slow-cranking:
    cranks slow
    car does not start, starter only clicks
    engine turns over very lazy
    starter motor is slow
trailer-side:
    trailer lights bad on every car
    the lights on this trailer never work whatever car
trailer-socket:
    no lights on the trailer
    caravan left blinker not working
    tow bar socket has no power
wheel-speed-sensor:
    abs light on
    anti lock lamp is burning
    wheel sensor no signal
window-motor:
    window won't go down
    passenger glass goes only up
    electric window stuck
wiper-park:
    wipers don't park
    windscreen wiper stops in the middle
    wiper not working
wrong-way-jump:
    somebody put jumper cables backwards
    reversed polarity when jumping
    battery connected wrong, now all dead
"""
_KEPT = """
battery-pair:
    top battery full and the bottom one is empty, they are in a row
    two batteries, one is boiling over
blower-resistors:
    blower hasn't got its low speeds
    cab blower only goes flat out
can-termination:
    none of the modules is talking
    network is down, scanner sees nothing
charging-by-module:
    alternator gets no command from the control unit
    charging is much too high
coil-or-injector:
    she's only firing on three pots
    one cylinder does not burn
comes-and-goes:
    fault only shows when it's warm, then it heals itself
    she works when she feels like it
dim-headlamp-lorry:
    lorry's got one headlight like a candle
dim-headlamp:
    right head lamp is more yellow than the other
    one headlamp has no power
door-wires:
    passenger door does not open with the remote
    one door stays unlocked
engine-fan:
    cooling ventilator turns without stop
    it boils in slow traffic
engine-sensor:
    temperature gauge does nothing
    one code for the throttle position sensor
five-volt-sensor-supply:
    engine goes in limp mode with a heap of sensor codes
fuel-pump-pwm:
    engine gets no petrol
    pump in the tank makes no sound
fuse-blows-again:
    reversing light fuse pops straight away
    every fuse I put in is gone directly
glow-plugs:
    van hates starting in winter, diesel
    it smokes white in the morning
heater-fan-module:
    fan for heating does not stop when I switch off
high-voltage-first:
    plug-in car was in a flood
key-off-draw:
    battery goes dead when she sits over the weekend
    something eats the battery when parked
no-charging:
    red battery symbol glows while driving
    no charging from the generator
no-crank:
    not a peep from the starter
    starter is mute when I turn the key
rear-lamps:
    left blinker goes like mad
    rear lights glimmer all together
slow-cranking:
    it groans and barely cranks
    starter has no force
trailer-socket:
    one of the trailer's lamps stays dark
wheel-speed-sensor:
    ABS is coming on
    brake pedal shudders just before stopping
window-motor:
    window on the passenger side is dead
wiper-park:
    wipers have only one speed
    wipers will not stop
wrong-way-jump:
    he mixed up plus and minus with the booster
"""


def _read(text: str) -> tuple[tuple[str, str], ...]:
    """Each complaint with the procedure above it."""
    rows, name = [], ""
    for line in text.strip().splitlines():
        if line.startswith(" "):
            rows.append((line.strip(), name))
        else:
            name = line.removesuffix(":")
    return tuple(rows)


FIRST, KEPT = _read(_FIRST), _read(_KEPT)
#: What no procedure is about.
UNCOVERED = (
    "the horn is hoarse",
    "brakes squeal",
    "oil leak at the sump",
    "gearbox jumps out of third",
    "radio has no sound",
    "seat heating does not get warm",
    "tyre loses air",
    "air conditioning blows warm",
    "the clutch slips",
    "steering pulls to the left",
)
