"""Judges the JSON Schema of the kit file: it refuses no kit that netlead takes, and most of the bad ones.

Usage: schema.py NETLEAD RANDOM_KITS. Every preset, every kit of tests/kits without an expected error,
random kits, and spellings that the reader allows have to pass. Of the kits in tests/kits with an
expected error, all are to be refused but those whose fault no schema can say.
"""

import json
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from jsonschema import Draft202012Validator

ROOT = Path(__file__).resolve().parents[2]
# Seed and number of random kits.
RANDOM = ("3", "0", "60")

# Bad kits whose fault is no matter of keys, types, words, bounds of bare numbers or what has to stand
# beside what: each with what it takes to know it.
BEYOND = {
    "nut_for_a_fine_thread": "which threads nuts are sold for",
    "nut_for_a_free_thread": "which threads nuts are sold for",
    "nut_for_a_left_thread": "which threads nuts are sold for",
    "nut_not_stock": "which threads nuts are sold for",
    "nut_of_another_system": "that two texts name one thread",
    "nut_of_another_thread": "that two texts name one thread",
    "nut_too_small": "which threads nuts are sold for",
    "pins_differ": "the size that a text names",
    "several_starts": "what a designation means",
}

BASE = {
    "single": 'name = "s"\nlayout = "single"\ndrive = "M16x2"\nstroke = 10\n',
    "nested": 'name = "n"\nlayout = "nested"\ndrive = "M20x2.5"\ninner = "M12x1.75"\nstroke = 5\n',
    "tandem": 'name = "t"\nlayout = "tandem"\ndrive = "M20x2.5"\nthin = "M14x2"\nstroke = 5\n',
    "opposed": 'name = "o"\nlayout = "opposed"\ndrive = "M16x2"\nfar = "M16x2-LH"\nstroke = 8\n',
    "inch": 'name = "i"\nlayout = "single"\ndrive = "1/2-13 UNC"\nstroke = 0.5\n',
}

# Spellings that the reader allows, behind one of the above.
ALLOWED = [
    ("single", 'head.kind = "TOMMY"\nmaterial = " pla "\nwalls = 4.0\n'),
    ("inch", 'units = "INCH"\nload.offset = 39.37007874015748\nlayer = 0.006\n'),
    ("single", 'gaps.press = -0.3\ntolerance = "0.0004 in"\nwalls = 0x5\n'),
    ("single", 'bed = ["220 mm", 220, "9 in"]\nload = {}\nwaive = []\n'),
    ("single", 'load = "5 lbf"\nfriction = [0.1, 0.3]\nhand_torque = "18 lbf in"\n'),
    ("single", 'load = { force = 20, lasting = true }\npins = { buy = "3/16 dowel" }\n'),
    ("single", 'perimeters = { frame = "Solid", drive = 3 }\ndial = 50\n'),
    ("single", 'gaps = { joint = { "drive/frame" = "0.003 in" } }\nend = "Rod"\nmount = "m6"\n'),
    ("single", '[[waive]]\ncheck = "bed"\nreason = "a taller printer is at hand"\n'),
    ("nested", 'spring = { wire = 1, outside = 20, free = 40, rate = "0.6 N/mm" }\nadvance = "Clockwise"\n'),
    ("tandem", 'nut = "M14"\nend = "EARS"\n'),
    ("tandem", 'nut = " Printed "\nsizes.nut = 14\n'),
    ("opposed", "spring = {}\nperimeters.nut = 4\n"),
]

# What no kit may have, behind one of the above.
REFUSED = [
    ("single", "strok = 10\n"),
    ("single", 'head = { kind = "knob", across_flats = 24 }\n'),
    ("single", "head.bar = 6\n"),
    ("single", 'head = "knob"\n'),
    ("single", "walls = 4.5\n"),
    ("single", "walls = true\n"),
    ("single", "layer = 2.0\n"),
    ("single", 'units = "inch"\nlayer = 0.2\n'),
    ("single", 'material = "PLAA"\n'),
    ("single", 'inner = "M8"\n'),
    ("single", "sizes.bore = 20\n"),
    ("single", "sizes.throat = 40\n"),
    ("single", "bed = [220, 220]\n"),
    ("single", "load = { lasting = true }\n"),
    ("single", 'pins = { buy = "5 mm dowel", grades = true }\n'),
    ("single", "spring = { wire = 1, outside = 20, free = 40 }\n"),
    ("single", "spring = { wire = 1, outside = 20, free = 40, coils = 5, rate = 1 }\n"),
    ("single", '[[waive]]\ncheck = "no-such"\nreason = "a taller printer is at hand"\n'),
    ("single", '[[waive]]\ncheck = "bed"\n'),
    ("nested", "gaps.swivel = 0.2\n"),
    ("tandem", 'end = "press"\n'),
    ("tandem", 'nut = "M14"\nperimeters.nut = 4\n'),
    ("opposed", 'mount = "M6"\n'),
    ("opposed", "spring = { wire = 1, outside = 20, free = 40, coils = 5 }\n"),
]


def takes(program, text, folder):
    """Whether netlead reads and sizes a kit: then it tells something of it, if only a failing check."""
    file = Path(folder) / "kit.toml"
    file.write_text(text, encoding="utf-8")
    run = subprocess.run([program, "check", file], capture_output=True, text=True)
    return run.returncode == 0 or bool(run.stdout.strip())


def main(program, random_kits):
    printed = subprocess.run([program, "schema"], check=True, capture_output=True, text=True).stdout
    schema = json.loads(printed)
    Draft202012Validator.check_schema(schema)
    judge = Draft202012Validator(schema)
    failures = []

    def faults(text):
        """What the schema refuses in a text; TOML that cannot be parsed is refused before."""
        try:
            kit = tomllib.loads(text)
        except (tomllib.TOMLDecodeError, RecursionError) as trouble:
            return [str(trouble)]
        return [f"{fault.json_path}: {fault.message}" for fault in judge.iter_errors(kit)]

    def passes(name, text):
        for fault in faults(text):
            failures.append(f"{name} is refused: {fault[:300]}")

    passed, bad, caught = 0, [], 0
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([random_kits, *RANDOM, "--print", folder], check=True)
        kits = sorted((ROOT / "presets").glob("*.toml")) + sorted(Path(folder).glob("*.toml"))
        for file in sorted((ROOT / "tests" / "kits").glob("*.toml")):
            expected = file.read_bytes().decode(errors="replace")
            (bad if "#~ error:" in expected else kits).append(file)
        for file in kits:
            passes(file.name, file.read_text(encoding="utf-8"))
            passed += 1
    with tempfile.TemporaryDirectory() as folder:
        for layout, more in ALLOWED:
            text = BASE[layout] + more
            passes(repr(text), text)
            if not takes(program, text, folder):
                failures.append(f"netlead does not take {text!r}, which is no test then")
            passed += 1
        for layout, more in REFUSED:
            text = BASE[layout] + more
            if not faults(text):
                failures.append(f"the schema takes {text!r}")
            if takes(program, text, folder):
                failures.append(f"netlead takes {text!r}, which is no test then")
            caught += 1
    for file in bad:
        refused = bool(faults(file.read_text(encoding="utf-8")))
        caught += refused
        if not refused and file.stem not in BEYOND:
            failures.append(f"the schema takes tests/kits/{file.name}")
        if refused and file.stem in BEYOND:
            failures.append(f"tests/kits/{file.name} is caught: it is not beyond a schema")
    for failure in failures:
        print(failure, file=sys.stderr)
    if failures:
        return 1
    bad_caught = len(bad) - len(BEYOND)
    print(f"{passed} good kits pass; of {len(bad)} bad ones in tests/kits {bad_caught} are refused, and "
          f"{len(REFUSED)} of {len(REFUSED)} more")
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
