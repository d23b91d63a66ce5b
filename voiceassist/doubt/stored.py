"""Calibrations as a TOML text: one table a set of listeners."""

import math
import tomllib
from collections.abc import Mapping

from voiceassist.doubt.calibration import KNOTS, Calibration, Line
from voiceassist.doubt.costs import Costs
from voiceassist.errors import DoubtError


def read(text: str, file: str = "calibration.toml") -> Mapping[str, Calibration]:
    """Calibrations by name, "moonshine+sphinx".

    Raises:
        DoubtError: it is not TOML, or a weight is missing or no number.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise DoubtError(f"this is not TOML: {error}", place=file) from None
    return {name: _read_one(name, table, f"{file}, {name}") for name, table in tables.items()}


def written(calibrations: Mapping[str, Calibration]) -> str:
    """The text that ``read`` reads; weights to four decimals."""
    return "\n".join(_table(name, each) for name, each in sorted(calibrations.items()))


def _read_one(name: str, table: object, place: str) -> Calibration:
    if not isinstance(table, dict):
        raise DoubtError("this is no table of weights", place=place)
    try:
        return _calibration(tuple(name.split("+")), table)
    except KeyError as error:
        raise DoubtError(f"the weight {error} is missing", place=place) from None
    except ValueError as error:
        raise DoubtError(str(error), place=place) from None


def _calibration(listeners: tuple[str, ...], table: Mapping[str, object]) -> Calibration:
    return Calibration(
        listeners=listeners,
        behind={each: _line(table[f"behind-{each}"]) for each in listeners},
        unlisted={each: _number(table[f"unlisted-{each}"]) for each in listeners},
        outside={each: _line(table[f"outside-{each}"]) for each in listeners},
        silent={each: _number(table[f"silent-{each}"]) for each in listeners},
        none=_line(table["none"]),
        crowd=_line(table["crowd"]),
        unexplained=_line(table["unexplained"]),
        agreement=_line(table["agreement"]),
        prior=_number(table["prior"]),
        costs=Costs(
            wrong_value=_number(table["cost-wrong-value"]),
            wrong_turn=_number(table["cost-wrong-turn"]),
            none=_number(table["let-pass-above"]),
            worth=_number(table["ask-above"]),
        ),
        fitted_on=str(table.get("fitted-on", "")),
    )


def _line(value: object) -> Line:
    if not isinstance(value, list) or len(value) != len(KNOTS):
        raise ValueError(
            f"{value!r} is not three numbers, in quiet, in some noise and in full noise"
        )
    return Line(*map(_number, value))


def _number(value: object) -> float:
    # bool is an int to Python, and TOML knows inf and nan
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{value!r} is no number")
    return float(value)


def _table(name: str, calibration: Calibration) -> str:
    lines = [f'["{name}"]', f'fitted-on = "{calibration.fitted_on}"']
    for each in calibration.listeners:
        lines += [
            _weight(f"behind-{each}", calibration.behind[each]),
            f"unlisted-{each} = {calibration.unlisted[each]:.4f}",
            _weight(f"outside-{each}", calibration.outside[each]),
            f"silent-{each} = {calibration.silent[each]:.4f}",
        ]
    costs = calibration.costs
    lines += [
        _weight("none", calibration.none),
        _weight("crowd", calibration.crowd),
        _weight("unexplained", calibration.unexplained),
        _weight("agreement", calibration.agreement),
        f"prior = {calibration.prior:.4f}",
        f"cost-wrong-value = {costs.wrong_value:.4f}",
        f"cost-wrong-turn = {costs.wrong_turn:.4f}",
        f"let-pass-above = {costs.none:.4f}",
        f"ask-above = {costs.worth:.4f}",
    ]
    return "\n".join([*lines, ""])


def _weight(name: str, line: Line) -> str:
    return f"{name} = [{line.quiet:.4f}, {line.some:.4f}, {line.full:.4f}]"
