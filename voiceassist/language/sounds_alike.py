"""Numbers whose words sound alike."""

from decimal import Decimal

#: Thirteen to nineteen, and the tens that sound like them.
TEENS = tuple((Decimal(ten + 10), Decimal(ten * 10)) for ten in range(3, 10))
