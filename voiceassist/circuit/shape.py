"""The shape of ``circuit:`` and ``faults:`` in a procedure file, key by key."""

from collections.abc import Callable
from typing import Annotated, Any, Literal

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

#: Tags of what a key may hold in several shapes; no key of a file looks like them.
TEXT, LIST, BLOCK, TABLE = "<text>", "<list>", "<block>", "<table>"


def by_form(error: str, block: str = BLOCK) -> Discriminator:
    """Tells which shape a value has from its form, so that only that one is checked and blamed.

    Args:
        error: kind of the fault of a value that has none of the forms.
        block: tag of its shape where it is a block.
    """
    tags = {str: TEXT, list: LIST, dict: block}

    def form(value: object) -> str | None:
        return next((tag for kind, tag in tags.items() if isinstance(value, kind)), None)

    return Discriminator(form, custom_error_type=error, custom_error_message=error)


def optional(
    told: str,
    empty: Callable[[], object] = lambda: None,
    *,
    alias: str | None = None,
    min_length: int | None = None,
) -> Any:  # noqa: ANN401 - a field of any type
    """A key that may be left out; it then holds what ``empty`` makes."""
    return Field(default_factory=empty, description=told, alias=alias, min_length=min_length)


def _key(field: str) -> str:
    return field.replace("_", "-").removesuffix("-")


class KeyBlock(BaseModel):
    """A block of keys; any other key in it is a fault."""

    model_config = ConfigDict(
        extra="forbid", populate_by_name=True, frozen=True, alias_generator=_key
    )


class ForEachBlock(KeyBlock):
    """A part that can stand for each of several like things; it is read written out."""

    for_each: Name | None = optional(
        "a group of 'each': this part is written out for each of its things, with their words in "
        "the place of those in angle brackets"
    )


class SettingTable(KeyBlock):
    """A value that goes by a condition."""

    by: Text = Field(description="the condition it goes by")
    table: dict[Text, Text] = Field(min_length=1, description="state: the value then")


Setting = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[SettingTable, Tag(TABLE)], by_form("setting", TABLE)
]
OneOrMore = Annotated[
    Annotated[Text, Tag(TEXT)] | Annotated[list[Text], Tag(LIST)], by_form("one_or_more")
]
_Place = Annotated[float, Field(allow_inf_nan=False)]
#: Condition to the state or states in which something is closed.
_ClosedWhen = dict[Text, OneOrMore]


class PartShape(ForEachBlock):
    """One part of a circuit: exactly one of the first seventeen keys tells what it is."""

    battery: Setting | None = optional("a battery or other source: its voltage")
    fuse: Text | None = optional("a fuse: its rating, 15 A")
    switch: _ClosedWhen | None = optional(
        "a switch: the conditions in which it is closed, {key: [run, start]}"
    )
    relay: Setting | None = optional("a relay: the resistance of its coil, 85 Ω")
    wire: Text | None = optional("a copper wire: its length, 6 m; with 'size'")
    joint: Setting | None = optional("a joint or terminal: its resistance, 5 mΩ")
    resistor: Setting | None = optional("a resistor or a sensor of that kind: its resistance")
    leak: Setting | None = optional("a leak: its resistance, 100 kΩ")
    termination: Setting | None = optional("the resistor at an end of a data line, 120 Ω")
    lamp: Setting | None = optional("a filament lamp: its power, 21 W")
    motor: Setting | None = optional(
        "a motor: its current when it runs at its rated 'voltage', 7 A"
    )
    potentiometer: Setting | None = optional(
        "a potentiometer: the resistance of its whole track; with 'turned'"
    )
    diode: Text | None = optional("a diode: its forward voltage, 0.7 V")
    module: dict[Text, Text] | None = optional(
        "a control module: voltage of its command, and the share of the supply that its load "
        "gets then, {3 V: 100 %, 10.5 V: 0 %}; straight between"
    )
    regulator: Setting | None = optional(
        "a steady supply made of a higher one, as for sensors: 5 V"
    )
    pulses: Setting | None = optional("a source of pulses: their voltage, 12 V")
    latch: Text | None = optional(
        "a contact that opens above this current and stays open until its 'from' is no longer "
        "fed, such as a circuit breaker or a guarded output: 8 A"
    )

    from_: Text | None = optional(
        "the node its first end is joined to: of a battery the plus post, of a diode the anode"
    )
    to: Text | None = optional("the node its other end is joined to")
    wiper: Text | None = optional("the node of the wiper of a potentiometer")
    feed: Text | None = optional("the node that feeds a module or regulator")
    earth: Text | None = optional("the node that earths a module or regulator")
    command: Text | None = optional("the node of the command of a module")
    output: Text | None = optional("the node of the output")
    pin_85: Text | None = optional("of a relay: the end of the coil to earth")
    pin_86: Text | None = optional("of a relay: the fed end of the coil")
    pin_30: Text | None = optional("of a relay: the contact that moves")
    pin_87: Text | None = optional("of a relay: joined to pin 30 when pulled in")
    pin_87a: Text | None = optional("of a relay: joined to pin 30 when at rest")
    behind: Text | None = optional(
        "the plug it sits behind: its terminals that are pins of that plug are on the far side "
        "and come off with it"
    )

    inner_resistance: Text | None = optional("of a battery or of pulses; 0 Ω")
    resistance: Text | None = optional(
        "of a closed contact, of a fuse, or of the winding of a motor"
    )
    lapses_after: Text | None = optional(
        "of a switch: it opens by itself when its conditions have held so long, 10 min, until "
        "they are brought about anew"
    )
    size: Text | None = optional("of a wire: cross-section in mm² (flexible), or AWG 14 (solid)")
    temperature: Text | None = optional("of the copper of a wire; 20 °C")
    colour: Text | None = optional(
        "of a wire, in the letters of IEC 60757: BN, GNYE; default: by its name"
    )
    pull_in: Text | None = optional("voltage at which a relay pulls in; 7 V")
    drop_out: Text | None = optional("voltage below which a relay drops; 2.5 V")
    voltage: Text | None = optional("the rated voltage of a lamp or motor; 12 V")
    load: Literal["fan", "friction"] | None = optional(
        "what a motor turns: a fan (default), or a steady friction"
    )
    turned: Setting | None = optional(
        "how far a potentiometer is turned from its first end, 0 % to 100 %"
    )
    current: Text | None = optional(
        "the current at which a diode drops its voltage (1 A), or the most a regulator gives "
        "(100 mA)"
    )
    ideality: Text | None = optional("ideality of a diode, 1 to 2; default 1")
    side: Literal["high", "low"] | None = optional(
        "the side of its load that a module switches; default high"
    )
    frequency: Text | None = optional("of pulses; for a module with such an output")
    duty: Setting | None = optional("share of the time that a pulse lasts, 25 %")
    output_resistance: Text | None = optional("of a module or regulator")
    own_resistance: Text | None = optional(
        "of a module or regulator between feed and earth: what it draws itself"
    )
    pull_up: Text | None = optional("resistor in a module from its feed to its command")
    pull_down: Text | None = optional("resistor in a module from its command to its earth")

    tolerance: Text | None = optional("how far a good one may be off; default: that of the circuit")
    label: Text | None = optional("its label in a drawing; default: its name")
    at: list[_Place] | None = optional(
        "a hint for a drawing: the further right, the further right its path, [3, 2]"
    )


class PlugShape(ForEachBlock):
    """A plug: pins that open and close together."""

    pins: list[Text] = Field(min_length=1, description="the nodes on its harness side")
    closed_when: _ClosedWhen = Field(description="the conditions in which it is plugged in")
    resistance: Text | None = optional("of one pin; 2 mΩ")


class InstrumentsShape(KeyBlock):
    """What is measured with."""

    voltmeter: Text | None = optional("input resistance of a voltmeter; 10 MΩ")
    ammeter: Text | None = optional("resistance of an ammeter; 20 mΩ")
    lamp: Text | None = optional("power of the test lamp; 21 W")
    lamp_voltage: Text | None = optional("its rated voltage; 12 V")


class CircuitShape(KeyBlock):
    """The circuit under test."""

    earth: Text | None = optional(
        "the node voltages are told from; default: minus post of the battery"
    )
    at_first: dict[Text, Text] = optional("condition: state, as the vehicle is met", dict)
    tolerance: Text | None = optional("how far good parts may be off their values; 0 %")
    parts: dict[Text, PartShape] = Field(min_length=1, description="the parts by name")
    plugs: dict[Text, PlugShape] = optional("the plugs by name", dict)
    points: dict[Text, OneOrMore] = optional(
        "name that steps use: its node, or [plus node, minus node]", dict
    )
    instruments: InstrumentsShape | None = optional("what is measured with")
    probes: dict[Name, Text] = optional(
        "step: where it measures, where its own words do not tell the circuit: voltage from A "
        "to B with a lamp from C to D",
        dict,
    )
    answers: dict[Name, Text] = optional(
        "step: its answer or reading on a good vehicle, where no circuit can tell", dict
    )


class ComesShape(KeyBlock):
    """When a fault that comes and goes is there."""

    when: _ClosedWhen = optional(
        "the states in which it can be there: {harness: moved at the plug}", dict
    )
    chance: Text | None = optional(
        "the chance that it is there in any second of that, 30 %; default 100 %"
    )


class FaultShape(ForEachBlock):
    """Something that can be wrong: exactly one of the first twelve keys tells what."""

    open: Text | None = optional("the part that is open")
    high_resistance: Text | None = optional(
        "the part with a bad joint at its first terminal, or at 'terminal'"
    )
    short_to_earth: Text | None = optional("the node or part joined to earth")
    short_to_supply: Text | None = optional("the node or part joined to supply")
    shorted: Text | None = optional("the part whose ends are joined")
    wrong: Text | None = optional("the part with a wrong 'value'")
    stuck: Text | None = optional(
        "the switch or relay stuck 'state: open' or 'closed', or the module whose output is "
        "stuck at 'value: 40 %'"
    )
    dead: Text | None = optional("the module or regulator that does nothing")
    seized: Text | None = optional("the motor that cannot turn")
    blown: Text | None = optional("the fuse that is blown")
    weak: Text | None = optional("the battery that is weak, to 'value: 11 V'")
    mixed: Text | None = optional("the plug with two 'pins' in each other's place")

    terminal: Text | None = optional("terminal of the part that has the fault")
    value: Text | None = optional("how large it is, from least to most: 2 Ω to 50 Ω; or one value")
    state: Literal["open", "closed"] | None = optional("of a stuck contact")
    pins: list[Text] | None = optional("the two pins that changed places")
    found_as: OneOrMore = Field(description="the finding that should name it, or several")
    comes: ComesShape | None = optional(
        "it comes and goes: in these states, and by this chance a second"
    )
    likely: Text | None = optional("how likely it is beside the others, 5 %; default 1 %")
    answers: dict[Name, Text] = optional(
        "step: its answer or reading with this fault, where no circuit can tell", dict
    )
