"""What a session's pages show beside it: the shop from the settings, its meter and pictures."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from voiceassist.app.pages.images import logo
from voiceassist.app.pages.pictures import pictures_of
from voiceassist.app.settings.settings import Settings
from voiceassist.errors import RecordError
from voiceassist.page.enclosed import CUSTOMER_FACTS, Enclosed, FactShown, Letterhead, MeterUsed
from voiceassist.procedure.glance import CUSTOMER, FactWords, meter_words
from voiceassist.record.entry import digest
from voiceassist.record.facts import plain_name
from voiceassist.record.folder import METER, SessionFolder
from voiceassist.record.read_session import ReadSession


@dataclass(frozen=True, slots=True)
class Shop:
    """What the settings tell of the shop.

    Parts:
        letterhead: None when nothing is set.
        customer_facts: that a customer's page may show.
    """

    letterhead: Letterhead | None = None
    customer_facts: tuple[str, ...] = CUSTOMER_FACTS


def shop_of(chosen: Settings) -> Shop:
    """The shop as it is set.

    Raises:
        SettingsError: the logo cannot be used.
    """
    address = tuple(part.strip() for part in re.split(r"[\n;]", chosen.shop_address))
    head = Letterhead(
        chosen.shop_name.strip(),
        tuple(part for part in address if part),
        logo(Path(chosen.shop_logo).expanduser()) if chosen.shop_logo else None,
    )
    named = tuple(plain_name(name) for name in chosen.customer_facts.split(",") if name.strip())
    return Shop(None if head == Letterhead() else head, named or CUSTOMER_FACTS)


def enclosed(
    folder: SessionFolder, read: ReadSession, shop: Shop, facts: Mapping[str, FactWords]
) -> Enclosed:
    """What goes with the session in ``folder``.

    Args:
        folder: of the session.
        read: what its journal tells.
        shop: as it is set.
        facts: of its procedure, which has the last word on who reads them.
    """
    pictures, missing = pictures_of(folder, read)
    shown = {plain_name(fact.name): fact.shown_to for fact in facts.values() if fact.shown_to}
    return Enclosed(
        shop.letterhead,
        _instrument(folder, read),
        pictures,
        missing,
        tuple(name for name in shop.customer_facts if name not in shown),
        tuple(
            FactShown(fact.name, fact.say, fact.value)
            for fact in facts.values()
            if fact.shown_to == CUSTOMER
        ),
        frozenset(fact.name for fact in facts.values() if not fact.value),
    )


def _instrument(folder: SessionFolder, read: ReadSession) -> MeterUsed | None:
    """The meter as its file tells, unless that is not the one the session went by."""
    try:
        text = folder.read(METER)
    except RecordError:
        return None
    listed = "files_sha256" in read.head  # older journals have no such list
    if listed and read.head.files_sha256.get(METER) != digest(text.encode()):
        return None
    found = meter_words(text)
    return MeterUsed(*found) if any(found) else None
