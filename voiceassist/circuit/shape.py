"""The shape of ``circuit:`` and ``faults:`` in a procedure file, key by key."""

from typing import Annotated, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Discriminator,
    Field,
    StringConstraints,
    Tag,
    WithJsonSchema,
)

Text = Annotated[str, StringConstraints(min_length=1, max_length=600)]
_NAME = r"[a-z][a-z0-9]*"
#: A word that 'for-each' puts in: an editor sees it in names, which the reader sees written out.
_PUT_IN = rf"(?:{_NAME}|<[a-z0-9-]+>)"
Name = Annotated[
    str,
    StringConstraints(pattern=rf"^{_NAME}(-{_NAME})*$"),
    WithJsonSchema({"type": "string", "pattern": rf"^{_PUT_IN}(-{_PUT_IN})*$"}),
]

#: What the key 'for-each' of a part tells.
FOR_EACH_IS = (
    "a group of 'each': this part is written out for each of its things, with their words in the "
    "place of those in angle brackets"
)

# The same tags as for steps: they tell only which shape was tried.
_TEXT, _LIST, _TABLE = "<text>", "<list>", "<table>"


def _setting_form(value: object) -> str | None:
    return _TABLE if isinstance(value, dict) else _TEXT if isinstance(value, str) else None


def _names_form(value: object) -> str | None:
    return _LIST if isinstance(value, list) else _TEXT if isinstance(value, str) else None


def _key(field: str) -> str:
    return field.replace("_", "-").removesuffix("-")


class Block(BaseModel):
    """A block of keys; any other key in it is a fault."""

    model_config = ConfigDict(
        extra="forbid", populate_by_name=True, frozen=True, alias_generator=_key
    )


class SettingTable(Block):
    """A value that goes by a condition."""

    by: Text = Field(description="the condition it goes by")
    table: dict[Text, Text] = Field(min_length=1, description="state: the value then")


Setting = Annotated[
    Annotated[Text, Tag(_TEXT)] | Annotated[SettingTable, Tag(_TABLE)],
    Discriminator(
        _setting_form, custom_error_type="setting", custom_error_message="a value or a table"
    ),
]
_Words = Annotated[
    Annotated[Text, Tag(_TEXT)] | Annotated[list[Text], Tag(_LIST)],
    Discriminator(
        _names_form, custom_error_type="one_or_more", custom_error_message="a name or a list"
    ),
]
_Place = Annotated[float, Field(allow_inf_nan=False)]
#: Condition to the state or states in which something is closed.
_ClosedWhen = dict[Text, _Words]


class ForEachPart(Block):
    """A part that can stand for each of several like things; it is read written out."""

    for_each: Name | None = Field(None, description=FOR_EACH_IS)


class PartShape(ForEachPart):
    """One part of a circuit: exactly one of the first seventeen keys tells what it is."""

    battery: Setting | None = Field(None, description="a battery or other source: its voltage")
    fuse: Text | None = Field(None, description="a fuse: its rating, 15 A")
    switch: _ClosedWhen | None = Field(
        None, description="a switch: the conditions in which it is closed, {key: [run, start]}"
    )
    relay: Setting | None = Field(None, description="a relay: the resistance of its coil, 85 Ω")
    wire: Text | None = Field(None, description="a copper wire: its length, 6 m; with 'size'")
    joint: Setting | None = Field(None, description="a joint or terminal: its resistance, 5 mΩ")
    resistor: Setting | None = Field(
        None, description="a resistor or a sensor of that kind: its resistance"
    )
    leak: Setting | None = Field(None, description="a leak: its resistance, 100 kΩ")
    termination: Setting | None = Field(
        None, description="the resistor at an end of a data line, 120 Ω"
    )
    lamp: Setting | None = Field(None, description="a filament lamp: its power, 21 W")
    motor: Setting | None = Field(
        None, description="a motor: its current when it runs at its rated 'voltage', 7 A"
    )
    potentiometer: Setting | None = Field(
        None, description="a potentiometer: the resistance of its whole track; with 'turned'"
    )
    diode: Text | None = Field(None, description="a diode: its forward voltage, 0.7 V")
    module: dict[Text, Text] | None = Field(
        None,
        description="a control module: voltage of its command, and the share of the supply that "
        "its load gets then, {3 V: 100 %, 10.5 V: 0 %}; straight between",
    )
    regulator: Setting | None = Field(
        None, description="a steady supply made of a higher one, as for sensors: 5 V"
    )
    pulses: Setting | None = Field(None, description="a source of pulses: their voltage, 12 V")
    latch: Text | None = Field(
        None,
        description="a contact that opens above this current and stays open until its 'from' is "
        "no longer fed, such as a circuit breaker or a guarded output: 8 A",
    )

    from_: Text | None = Field(
        None,
        description="the node its first end is joined to: of a battery the plus post, of a "
        "diode the anode",
    )
    to: Text | None = Field(None, description="the node its other end is joined to")
    wiper: Text | None = Field(None, description="the node of the wiper of a potentiometer")
    feed: Text | None = Field(None, description="the node that feeds a module or regulator")
    earth: Text | None = Field(None, description="the node that earths a module or regulator")
    command: Text | None = Field(None, description="the node of the command of a module")
    output: Text | None = Field(None, description="the node of the output")
    pin_85: Text | None = Field(None, description="of a relay: the end of the coil to earth")
    pin_86: Text | None = Field(None, description="of a relay: the fed end of the coil")
    pin_30: Text | None = Field(None, description="of a relay: the contact that moves")
    pin_87: Text | None = Field(None, description="of a relay: joined to pin 30 when pulled in")
    pin_87a: Text | None = Field(None, description="of a relay: joined to pin 30 when at rest")
    behind: Text | None = Field(
        None,
        description="the plug it sits behind: its terminals that are pins of that plug are "
        "on the far side and come off with it",
    )

    inner_resistance: Text | None = Field(None, description="of a battery or of pulses; 0 Ω")
    resistance: Text | None = Field(
        None, description="of a closed contact, of a fuse, or of the winding of a motor"
    )
    lapses_after: Text | None = Field(
        None,
        description="of a switch: it opens by itself when its conditions have held so long, 10 "
        "min, until they are brought about anew",
    )
    size: Text | None = Field(
        None, description="of a wire: cross-section in mm² (flexible), or AWG 14 (solid)"
    )
    temperature: Text | None = Field(None, description="of the copper of a wire; 20 °C")
    colour: Text | None = Field(
        None, description="of a wire, in the letters of IEC 60757: BN, GNYE; default: by its name"
    )
    pull_in: Text | None = Field(None, description="voltage at which a relay pulls in; 7 V")
    drop_out: Text | None = Field(None, description="voltage below which a relay drops; 2.5 V")
    voltage: Text | None = Field(None, description="the rated voltage of a lamp or motor; 12 V")
    load: Literal["fan", "friction"] | None = Field(
        None, description="what a motor turns: a fan (default), or a steady friction"
    )
    turned: Setting | None = Field(
        None, description="how far a potentiometer is turned from its first end, 0 % to 100 %"
    )
    current: Text | None = Field(
        None,
        description="the current at which a diode drops its voltage (1 A), or the most a "
        "regulator gives (100 mA)",
    )
    ideality: Text | None = Field(None, description="ideality of a diode, 1 to 2; default 1")
    side: Literal["high", "low"] | None = Field(
        None, description="the side of its load that a module switches; default high"
    )
    frequency: Text | None = Field(None, description="of pulses; for a module with such an output")
    duty: Setting | None = Field(None, description="share of the time that a pulse lasts, 25 %")
    output_resistance: Text | None = Field(None, description="of a module or regulator")
    own_resistance: Text | None = Field(
        None, description="of a module or regulator between feed and earth: what it draws itself"
    )
    pull_up: Text | None = Field(
        None, description="resistor in a module from its feed to its command"
    )
    pull_down: Text | None = Field(
        None, description="resistor in a module from its command to its earth"
    )

    tolerance: Text | None = Field(
        None, description="how far a good one may be off; default: that of the circuit"
    )
    label: Text | None = Field(None, description="its label in a drawing; default: its name")
    at: list[_Place] | None = Field(
        None,
        description="a hint for a drawing: the further right, the further right its path, [3, 2]",
    )


class PlugShape(ForEachPart):
    """A plug: pins that open and close together."""

    pins: list[Text] = Field(min_length=1, description="the nodes on its harness side")
    closed_when: _ClosedWhen = Field(description="the conditions in which it is plugged in")
    resistance: Text | None = Field(None, description="of one pin; 2 mΩ")


class InstrumentsShape(Block):
    """What is measured with."""

    voltmeter: Text | None = Field(None, description="input resistance of a voltmeter; 10 MΩ")
    ammeter: Text | None = Field(None, description="resistance of an ammeter; 20 mΩ")
    lamp: Text | None = Field(None, description="power of the test lamp; 21 W")
    lamp_voltage: Text | None = Field(None, description="its rated voltage; 12 V")


class CircuitShape(Block):
    """The circuit under test."""

    earth: Text | None = Field(
        None, description="the node voltages are told from; default: minus post of the battery"
    )
    at_first: dict[Text, Text] = Field(
        default_factory=dict, description="condition: state, as the vehicle is met"
    )
    tolerance: Text | None = Field(
        None, description="how far good parts may be off their values; 0 %"
    )
    parts: dict[Text, PartShape] = Field(min_length=1, description="the parts by name")
    plugs: dict[Text, PlugShape] = Field(default_factory=dict, description="the plugs by name")
    points: dict[Text, _Words] = Field(
        default_factory=dict,
        description="name that steps use: its node, or [plus node, minus node]",
    )
    instruments: InstrumentsShape | None = Field(None, description="what is measured with")
    probes: dict[Name, Text] = Field(
        default_factory=dict,
        description="step: where it measures, where its own words do not tell the circuit: "
        "voltage from A to B with a lamp from C to D",
    )
    answers: dict[Name, Text] = Field(
        default_factory=dict,
        description="step: its answer or reading on a good vehicle, where no circuit can tell",
    )


class ComesShape(Block):
    """When a fault that comes and goes is there."""

    when: _ClosedWhen = Field(
        default_factory=dict,
        description="the states in which it can be there: {harness: moved at the plug}",
    )
    chance: Text | None = Field(
        None, description="the chance that it is there in any second of that, 30 %; default 100 %"
    )


class FaultShape(ForEachPart):
    """Something that can be wrong: exactly one of the first twelve keys tells what."""

    open: Text | None = Field(None, description="the part that is open")
    high_resistance: Text | None = Field(
        None, description="the part with a bad joint at its first terminal, or at 'terminal'"
    )
    short_to_earth: Text | None = Field(None, description="the node or part joined to earth")
    short_to_supply: Text | None = Field(None, description="the node or part joined to supply")
    shorted: Text | None = Field(None, description="the part whose ends are joined")
    wrong: Text | None = Field(None, description="the part with a wrong 'value'")
    stuck: Text | None = Field(
        None,
        description="the switch or relay stuck 'state: open' or 'closed', or the module "
        "whose output is stuck at 'value: 40 %'",
    )
    dead: Text | None = Field(None, description="the module or regulator that does nothing")
    seized: Text | None = Field(None, description="the motor that cannot turn")
    blown: Text | None = Field(None, description="the fuse that is blown")
    weak: Text | None = Field(None, description="the battery that is weak, to 'value: 11 V'")
    mixed: Text | None = Field(None, description="the plug with two 'pins' in each other's place")

    terminal: Text | None = Field(None, description="terminal of the part that has the fault")
    value: Text | None = Field(
        None, description="how large it is, from least to most: 2 Ω to 50 Ω; or one value"
    )
    state: Literal["open", "closed"] | None = Field(None, description="of a stuck contact")
    pins: list[Text] | None = Field(None, description="the two pins that changed places")
    found_as: _Words = Field(description="the finding that should name it, or several")
    comes: ComesShape | None = Field(
        None, description="it comes and goes: in these states, and by this chance a second"
    )
    likely: Text | None = Field(
        None, description="how likely it is beside the others, 5 %; default 1 %"
    )
    answers: dict[Name, Text] = Field(
        default_factory=dict,
        description="step: its answer or reading with this fault, where no circuit can tell",
    )
