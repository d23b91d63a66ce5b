"""What a page shows beside the session itself: the shop, the meter, pictures. Pure values."""

from dataclasses import dataclass
from types import MappingProxyType

#: Kind of a picture -> its media type (RFC 2046, and the W3C's SVG).
MEDIA = MappingProxyType({"png": "image/png", "jpeg": "image/jpeg", "svg": "image/svg+xml"})
#: Facts that a customer may read unless the shop has chosen others.
CUSTOMER_FACTS = (
    *("customer", "customer address", "repair order", "vehicle", "vin", "odometer", "technician"),
)


@dataclass(frozen=True, slots=True)
class Image:
    """A picture's content, checked.

    Parts:
        data: the content of its file.
        kind: a key of ``MEDIA``.
        width, height: in dots, or in the units of an SVG; above zero.
    """

    data: bytes
    kind: str
    width: float
    height: float

    def __post_init__(self) -> None:
        if self.kind not in MEDIA or self.width <= 0 or self.height <= 0:
            raise ValueError("an image has a known kind, a width and a height")

    @property
    def media(self) -> str:
        """Its media type."""
        return MEDIA[self.kind]


@dataclass(frozen=True, slots=True)
class Letterhead:
    """The shop, as it stands at the top of its pages.

    Parts:
        name: of the shop.
        address: in lines.
        logo: None without one.
    """

    name: str = ""
    address: tuple[str, ...] = ()
    logo: Image | None = None


@dataclass(frozen=True, slots=True)
class MeterUsed:
    """The meter that readings were taken with; texts are empty where its file has nothing.

    Parts:
        title: which meter it is.
        serial: its serial number.
        calibrated: the day it was last calibrated, as 2026-03-01.
    """

    title: str = ""
    serial: str = ""
    calibrated: str = ""


@dataclass(frozen=True, slots=True)
class EnclosedPicture:
    """A picture that the technician attached.

    Parts:
        image: its content.
        caption: what it shows; may be empty.
        at: when it was attached, RFC 3339.
    """

    image: Image
    caption: str
    at: str


@dataclass(frozen=True, slots=True)
class FactShown:
    """A fact of the procedure that it wants the customer to read.

    Parts:
        name: as the journal has it.
        say: what it is.
        value: by the procedure, when the job has no other; may be empty.
    """

    name: str
    say: str
    value: str = ""


@dataclass(frozen=True, slots=True)
class Enclosed:
    """All of it.

    Parts:
        letterhead, meter: None where nothing is known.
        pictures: in the order in which they were attached.
        missing: names of pictures that are gone or were changed since.
        customer_facts: facts of the job that a customer's page shows, in this order.
        facts_shown: those of the procedure that it shows besides.
        facts_asked: names of those that the technician is asked for, which are no readings.
    """

    letterhead: Letterhead | None = None
    meter: MeterUsed | None = None
    pictures: tuple[EnclosedPicture, ...] = ()
    missing: tuple[str, ...] = ()
    customer_facts: tuple[str, ...] = CUSTOMER_FACTS
    facts_shown: tuple[FactShown, ...] = ()
    facts_asked: frozenset[str] = frozenset()


NOTHING = Enclosed()
