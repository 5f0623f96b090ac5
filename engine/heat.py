"""How hot a day is for the people who work in it: the heat index, its published bands, and what to do about it.

The index is that of the United States National Weather Service (Weather Prediction Center, "The Heat Index Equation";
L. P. Rothfusz 1990, NWS SR 90-23): a short formula while its outcome stays under 80 F, else a regression with two
adjustments for very dry and very damp air. It holds for shade and light wind, in degrees Fahrenheit and per cent.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.events import Weather
from engine.view import View

# Named after the powers of temperature (T) and relative humidity (R) that each multiplies.
C, T, R, TR, TT, RR, TTR, TRR, TTRR = map(
    Decimal,
    (
        "-42.379", "2.04901523", "10.14333127", "-0.22475541", "-0.00683783", "-0.05481717", "0.00122874",
        "0.00085282", "-0.00000199",
    ),
)  # fmt: skip

REGRESSION_FROM = Decimal(80)
DRY_AIR, DAMP_AIR = Decimal(40), Decimal(60)  # per cent: common on hot afternoons
FULL_SUN_ADDS = Decimal(15)  # at most; NWS heat index page, from memory

# Names of the NWS chart in its present form (80, 90, 103, 125 F), as quoted on several public pages.
NWS_BANDS = (
    (Decimal(125), "extreme danger"),
    (Decimal(103), "danger"),
    (Decimal(90), "extreme caution"),
    (Decimal(80), "caution"),
)
# OSHA, "Using the Heat Index: A Guide for Employers" (2012). It prints 103 in two bands; the careful one is taken.
RISKS = (
    (Decimal("115.000001"), "very high"),
    (Decimal(103), "high"),
    (Decimal(91), "moderate"),
    (Decimal(0), "lower"),
)

ADVICE = {
    "lower": ("Water within reach, shade for breaks, and go easy with anyone new to the heat.",),
    "moderate": (
        "A cup of cool water every 15 to 20 minutes, breaks in the shade, and nobody works alone.",
        "People in their first week, or back after a week away, do part of the day only.",
    ),
    "high": (
        "Heavy work early or another day; rest in the shade at least 15 minutes every two hours.",
        "A cup of cool water every 15 to 20 minutes (no more than six cups an hour); watch each other, nobody alone.",
        "Confusion, fainting or skin very hot: call for help at once and cool the person with water or ice.",
    ),
    "very high": (
        "Put off all heavy work. What cannot wait: before the heat, short turns, never alone, water and shade at hand.",
        "Confusion, fainting or skin very hot: call for help at once and cool the person with water or ice.",
    ),
}


@dataclass(frozen=True, slots=True)
class Heat:
    """How hot it feels in the shade, in F and C, with its bands and what to do; empty `advice` below 80 F.

    `temperature` is in `unit`, as it was said.
    """

    temperature: Decimal
    unit: str
    humidity: Decimal
    index_f: Decimal
    index_c: Decimal
    band: str
    risk: str
    advice: tuple[str, ...]
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TooHot:
    """How hot it is to work on a day: one Heat, or two for rather dry and rather damp air where humidity is not known.

    `source` is said or logged; none of it, where nothing was said and no high is logged, or the figures are impossible.
    """

    day: dt.date
    source: str | None
    heats: tuple[Heat, ...]
    workings: tuple[str, ...]


def too_hot(view: View, ask: Ask) -> TooHot:
    """How hot it is for the people in the field, by what was said of the air, else by what is logged of the day."""
    day = ask.date or ask.start or view.today
    logged = [fact.event for fact in view.facts(day, day, kinds=("weather",)) if isinstance(fact.event, Weather)]
    humidity = next((event.humidity for event in reversed(logged) if event.humidity is not None), None)
    if ask.humidity is not None:
        humidity = ask.humidity
    temperature, unit, source = ask.temperature, ask.unit or _unit(view, ask.temperature), "said"
    if temperature is None:
        high = next((event for event in reversed(logged) if event.high is not None and event.unit), None)
        if high is None:
            return TooHot(day, None, (), ("neither a temperature said nor a high logged",))
        temperature, unit, source = high.high, high.unit or "F", "logged"
    try:
        heats = heats_of(temperature or Decimal(0), unit, humidity)
    except ValueError as error:
        return TooHot(day, None, (), (str(error),))
    return TooHot(day, source, heats, tuple(line for each in heats for line in each.workings))


HOTTEST_C = 55  # no weather is hotter: a figure above it was read in F


def _unit(view: View, temperature: Decimal | None) -> str:
    """The unit of a temperature said without one: the farm's, else the one in which it is some summer's day."""
    hot_in_f = temperature is not None and temperature > HOTTEST_C
    return "F" if hot_in_f else str(view.season().settings.get("temperature_unit", "C"))


def heat(temperature: Decimal, unit: str, humidity: Decimal) -> Heat:
    """How hot `temperature` ("F" or "C") feels at a relative humidity in per cent; ValueError for an impossible one."""
    fahrenheit = temperature if unit == "F" else in_fahrenheit(temperature)
    index = heat_index(fahrenheit, humidity)
    risk = risk_of(index)
    return Heat(
        temperature=temperature,
        unit=unit,
        humidity=humidity,
        index_f=_tenth(index),
        index_c=_tenth(in_celsius(index)),
        band=band(index),
        risk=risk,
        advice=ADVICE[risk] if index >= REGRESSION_FROM else (),
        workings=(
            f"{_tenth(fahrenheit)} F at {humidity} % humidity gives a heat index of {_tenth(index)} F in the shade",
            f"full sun can add up to {FULL_SUN_ADDS} F",
            "National Weather Service heat index equation (Rothfusz 1990); risk levels of the OSHA heat index guide",
        ),
    )


def heats_of(temperature: Decimal, unit: str, humidity: Decimal | None) -> tuple[Heat, ...]:
    """How it feels at that humidity, or in rather dry and in rather damp air where that is not known."""
    damp = (DRY_AIR, DAMP_AIR) if humidity is None else (humidity,)
    return tuple(heat(temperature, unit, each) for each in damp)


def hot_day(high: Decimal, unit: str, humidity: Decimal | None = None) -> tuple[Heat, ...]:
    """How a day's high feels, as `heats_of`; empty if it is not hot."""
    heats = heats_of(high, unit, humidity)
    return heats if heats[-1].advice else ()


def heat_index(temperature_f: Decimal, humidity: Decimal) -> Decimal:
    """The heat index in F; ValueError where the humidity is not 0 to 100 per cent or no air is that warm or cold."""
    if not 0 <= humidity <= 100:
        raise ValueError(f"humidity is a share from 0 to 100 per cent, not {humidity}")
    if not -80 <= temperature_f <= 140:
        raise ValueError(f"no air over a field is {temperature_f} F")
    simple = (temperature_f + 61 + (temperature_f - 68) * Decimal("1.2") + humidity * Decimal("0.094")) / 2
    if simple < REGRESSION_FROM:
        return simple
    return _regression(temperature_f, humidity) + _adjustment(temperature_f, humidity)


def _regression(t: Decimal, r: Decimal) -> Decimal:
    first = C + T * t + R * r + TR * t * r
    second = TT * t * t + RR * r * r
    return first + second + TTR * t * t * r + TRR * t * r * r + TTRR * t * t * r * r


def _adjustment(t: Decimal, r: Decimal) -> Decimal:
    if r < 13 and 80 <= t <= 112:
        return -((13 - r) / 4) * ((17 - abs(t - 95)) / 17).sqrt()
    if r > 85 and 80 <= t <= 87:
        return (r - 85) / 10 * ((87 - t) / 5)
    return Decimal(0)


def band(index_f: Decimal) -> str:
    """The name of the NWS band: "" below 80 F."""
    return next((name for least, name in NWS_BANDS if index_f >= least), "")


def risk_of(index_f: Decimal) -> str:
    """The OSHA risk level: lower, moderate, high or very high."""
    return next((name for least, name in RISKS if index_f >= least), "lower")


def in_fahrenheit(celsius: Decimal) -> Decimal:
    """Degrees Celsius as Fahrenheit, exactly."""
    return celsius * 9 / 5 + 32


def in_celsius(fahrenheit: Decimal) -> Decimal:
    """Degrees Fahrenheit as Celsius."""
    return (fahrenheit - 32) * 5 / 9


def _tenth(figure: Decimal) -> Decimal:
    return figure.quantize(Decimal("0.1"))
