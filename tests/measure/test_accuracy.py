from decimal import Decimal

import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.accuracy import Accuracy


@pytest.mark.parametrize(("percent", "counts"), [("-0.5", 2), ("0.5", -1)])
def test_an_accuracy_below_zero_is_refused(percent: str, counts: int) -> None:
    with pytest.raises(MeasureError, match="zero or more"):
        Accuracy(Decimal(percent), counts)
