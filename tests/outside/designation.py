"""Reads a thread's designation, apart from the program's own reader.

Metric: ISO 965-1 clause 4 writes `M20x2.5`, several starts `M20xPh5P2.5`; left hand `-LH`.
Unified: ASME B1.1 writes `3/4-10 UNC`, shops `1-8 UNC 2-start`; gauge sizes are 0.060 + 0.013 n inches.
"""

import math
import re
from dataclasses import dataclass
from fractions import Fraction

INCH = 25.4

METRIC = re.compile(r"M?(?P<major>[\d.]+)x(?:Ph(?P<lead>[\d.]+)P)?(?P<pitch>[\d.]+)(?P<hand>-LH)?")
UNIFIED = re.compile(r"(?P<size>#\d+|[\d./ ]+)-(?P<tpi>[\d.]+) \w+?"
                     r"(?: (?P<starts>\d)-start)?(?P<hand>-LH)?")


@dataclass(frozen=True)
class Thread:
    """A thread of the 60 degree form, in mm; the lead is negative for a left hand."""

    major: float
    pitch: float
    lead: float

    @property
    def sharp_height(self):
        """H = (sqrt 3 / 2) P (ISO 68-1)."""
        return math.sqrt(3.0) / 2.0 * self.pitch

    @property
    def pitch_diameter(self):
        """d2 = d - 3/4 H (ISO 724)."""
        return self.major - 0.75 * self.sharp_height

    @property
    def minor(self):
        """D1 = D - 5/4 H (ISO 724)."""
        return self.major - 1.25 * self.sharp_height


def read(text):
    """The thread of a designation that names its pitch."""
    if found := METRIC.fullmatch(text):
        major, pitch = float(found["major"]), float(found["pitch"])
        lead = float(found["lead"] or pitch)
    elif found := UNIFIED.fullmatch(text):
        pitch = INCH / float(found["tpi"])
        lead = pitch * int(found["starts"] or 1)
        if found["size"].startswith("#"):
            major = INCH * (0.060 + 0.013 * int(found["size"][1:]))
        else:
            major = INCH * float(sum(Fraction(word) for word in found["size"].split()))
    else:
        raise ValueError(f"cannot read the designation {text!r}")
    return Thread(major, pitch, -lead if found["hand"] else lead)


def check_sheet(text, sheet, tally):
    """The program's own data sheet against this reading."""
    thread = read(text)
    expected = {
        "major_mm": thread.major,
        "pitch_mm": thread.pitch,
        "lead_mm": abs(thread.lead),
        "pitch_diameter_mm": thread.pitch_diameter,
        "minor_internal_mm": thread.minor,
    }
    for key, value in expected.items():
        tally.near(sheet[key], value, 1e-6, f"thread {text}: {key}")
    hand = "left" if thread.lead < 0 else "right"
    tally.check(sheet["hand"] == hand, f"thread {text}: hand is {sheet['hand']}")
