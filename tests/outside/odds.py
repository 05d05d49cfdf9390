"""Judges the odds that netlead tells against copies that are drawn one by one.

Every copy of a kit is printed here with numpy: the terms of the printer's profile with their errors,
the bed's own effect, each part's place on it, and each face's; what a gap leaves is held against the
boundaries of its fit, which are reckoned here from docs/printing.md. A pin is taken from those at
hand that suit both its holes, each a piece of its own. Shares of copies are compared with those of
`netlead check --json`, fit by fit and for the kit.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import numpy as np

from tally import Tally

COPIES = 200_000
# Hundredths of copies by which what is told may differ from what is counted.
ALLOWED = 0.03
# docs/printing.md: shares of the spread between prints and within one.
PART, FACE = 0.3, 0.6
GROWTHS = ["outer_growth", "slot_growth", "hole_growth", "lying_growth", "flank_extra", "curvature"]


def printers(layer):
    """Terms with their errors, spread of a wall, and a correlation, of made-up printers."""
    shipped = {name: (0.03, 0.03) for name in GROWTHS[:4]}
    shipped |= {"flank_extra": (layer, 0.3 * layer), "curvature": (0.0, 0.1)}
    learnt = {"outer_growth": (0.039, 0.011), "slot_growth": (0.044, 0.011),
              "hole_growth": (0.049, 0.013), "lying_growth": (0.054, 0.021),
              "flank_extra": (0.12, 0.014), "curvature": (0.014, 0.026)}
    alike = {("outer_growth", "slot_growth"): 0.82, ("outer_growth", "hole_growth"): 0.65,
             ("slot_growth", "hole_growth"): 0.83, ("hole_growth", "curvature"): -0.41}
    return {
        "unknown": (shipped, 0.04, 0.02, {}),
        "learnt": (learnt, 0.019, 0.018, alike),
        "sloppy": (shipped, 0.05, 0.05, {}),
        "fine": (shipped, 0.015, 0.012, {}),
    }


def profile(name, kit, terms, within, between, alike):
    """The text of a profile as docs and `netlead tune` have it."""
    pairs = "".join(f'  {{ a = "{a}", b = "{b}", value = {value} }},\n'
                    for (a, b), value in alike.items())
    told = "".join(f'{term} = {{ value = {value}, error = {error}, known = "measured" }}\n'
                   for term, (value, error) in terms.items())
    return (f'schema = "netlead-printer/1"\nname = "{name}"\nlayer = {kit["layer"]}\n'
            f'line = {kit["line"]}\nwalls = 4\nbed = [220, 220, 250]\nmaterial = "PLA"\n'
            f'date = "2026-11-20"\nspool = "made up"\nprints = 3\ncorrelation = [\n{pairs}]\n'
            f'[correction]\ncontour = 0\nhole = 0\nfirst_layer = 0\n'
            f'[spread]\nwithin = {within}\nbetween = {between}\n[terms]\n{told}')


def boundaries(joint, layer, line, flank):
    """tight, free, loose and lost, by the table of docs/printing.md."""
    kind = joint["kind"]
    if kind == "thread":
        loose = min(0.30, 0.5 * joint["thread_depth_mm"] - flank)
        return [min(-0.7 * layer, loose), min(0.0, loose), loose, loose]
    if kind == "press":
        least, most = (-0.20, -0.02) if joint["gap_mm"]["ribs"] is not None else (-0.04, 0.0)
        return [least - 0.10, least, most, 0.08]
    free, loose = {"slide": (0.02, 0.35), "locate": (-0.02, 0.25), "swivel": (0.10, 0.40)}[kind]
    return [-line / 3, free, loose, loose]


def weights(joint, printed):
    """What each term takes from a gap."""
    male, female = printed
    gap = joint["gap_mm"]
    takes = dict.fromkeys(GROWTHS, 0.0)
    if female:
        wall = ("slot_growth" if joint["kind"] == "slide"
                else "lying_growth" if gap["lying"] else "hole_growth")
        takes[wall] += 1.0
    if male:
        takes["outer_growth"] += 1.0
    if male != female and gap["radius"] > 0:
        takes["curvature"] += (1.0 if female else -1.0) / gap["radius"]
    if joint["kind"] == "thread":
        takes["flank_extra"] += (male + female) / 2
    return np.array([takes[name] for name in GROWTHS])


def called(joint):
    """Two pieces may have a joint of each kind."""
    return f"{joint['name']} ({joint['kind']})"


def copies(report, terms, within, between, alike, layer, line, rng):
    """Shares of copies that go, and that go after fitting, of each fit and of the kit."""
    parts = {part["name"]: part for part in report["parts"]}
    fits = [joint for joint in report["joints"] if joint["kind"] not in ("seat", "stop")]
    mean = np.array([terms[name][0] for name in GROWTHS])
    error = np.array([terms[name][1] for name in GROWTHS])
    shared = np.eye(len(GROWTHS))
    for (a, b), value in alike.items():
        i, j = GROWTHS.index(a), GROWTHS.index(b)
        shared[i, j] = shared[j, i] = value
    drawn = rng.multivariate_normal(mean, shared * np.outer(error, error), COPIES)
    bed = between * rng.standard_normal(COPIES)
    places, outsides = {}, {}

    def place(piece):
        return places.setdefault(piece, PART * between * rng.standard_normal(COPIES))

    def face():
        return FACE * within * rng.standard_normal(COPIES)

    pressed = {(joint["parts"][0], joint["instances"][0])
               for joint in fits if joint["kind"] == "press"}
    grades = {}
    for part in report["parts"]:
        if part["grade"]:
            grades.setdefault(part["grade"]["of"], []).append(part["grade"]["radius_more_mm"])
    by_pin, right = {}, []
    for joint in fits:
        pieces = list(zip(joint["parts"], joint["instances"]))
        # A pin stands first where it is pressed, and in whichever place elsewhere.
        pin = next((piece for piece in pieces if piece in pressed), None)
        made = [parts[name]["made"] == "printed" for name, _ in pieces]
        male_first = pin is None or pieces[0] == pin
        printed = made if male_first else made[::-1]
        gap = np.full(COPIES, joint["gap_mm"]["drawn"]) - drawn @ weights(joint, printed)
        ends = boundaries(joint, layer, line, terms["flank_extra"][0])
        for piece, of_printer in zip(pieces, made):
            if of_printer and piece != pin:
                gap -= bed + place(piece) + face()
        if pin is None:
            inside = [(gap >= low) & (gap <= high) for low, high in (ends[1:3], ends[::3])]
            right.append((called(joint), *inside))
            continue
        shifts = sorted([0.0, *grades.get(pin[0], [])])
        whole = []
        for shift in shifts:
            # Each grade is a piece of its own, with its own place on the bed and its own outside.
            left = gap - shift
            if parts[pin[0]]["made"] == "printed":
                key = (pin, shift)
                left = left - bed - place(key) - outsides.setdefault(key, face())
            whole.append([(left >= low) & (left <= high) for low, high in (ends[1:3], ends[::3])])
        by_pin.setdefault(pin, []).append((called(joint), whole))
    everything = [np.ones(COPIES, bool), np.ones(COPIES, bool)]
    shares = {}
    for name, goes, fitted in right:
        shares[name] = (goes.mean(), fitted.mean())
        everything = [everything[0] & goes, everything[1] & fitted]
    for of_pin in by_pin.values():
        for name, whole in of_pin:
            shares[name] = tuple(np.any([grade[way] for grade in whole], axis=0).mean()
                                 for way in (0, 1))
        for way in (0, 1):
            suits = [np.all([whole[grade][way] for _, whole in of_pin], axis=0)
                     for grade in range(len(of_pin[0][1]))]
            everything[way] &= np.any(suits, axis=0)
    return shares, [every.mean() for every in everything]


def judge(tally, netlead, kit, folder):
    """Holds one kit on every printer against its copies."""
    text = pathlib.Path(kit).read_text()
    lines = [line for line in text.splitlines() if not line.startswith("printer")]
    plain = json.loads(check(netlead, lines, folder))
    settings = {"layer": plain["kit"]["layer_mm"], "line": plain["kit"]["line_mm"]}
    for number, (name, printer) in enumerate(printers(settings["layer"]).items()):
        terms, within, between, alike = printer
        (folder / f"{name}.printer.toml").write_text(
            profile(name, settings, terms, within, between, alike))
        report = json.loads(check(netlead, [f'printer = "{name}"', *lines], folder))
        rng = np.random.default_rng(1000 + number)
        shares, whole = copies(report, terms, within, between, alike, settings["layer"],
                               settings["line"], rng)
        where = f"{pathlib.Path(kit).stem} on the {name} printer"
        for joint in report["joints"]:
            if called(joint) in shares:
                for told, counted in zip(joint["gap_mm"]["odds"].values(), shares[called(joint)]):
                    tally.check(abs(told - counted) <= ALLOWED,
                                f"{where}: {called(joint)} told {told:.3f}, counted {counted:.3f}")
        now = report["odds"]["now"]
        for word, counted in zip(("as_printed", "usable"), whole):
            tally.check(abs(now[word] - counted) <= ALLOWED,
                        f"{where}: {word} told {now[word]:.3f}, counted {counted:.3f}")
        print(f"{where}: goes {now['as_printed']:.3f} (counted {whole[0]:.3f}), "
              f"fitted {now['usable']:.3f} (counted {whole[1]:.3f})")


def check(netlead, lines, folder):
    """The report of a kit; one that fails is told as well."""
    path = folder / "kit.toml"
    path.write_text("\n".join(lines) + "\n")
    done = subprocess.run([netlead, "check", str(path), "--json"], capture_output=True, text=True)
    if not done.stdout:
        raise SystemExit(done.stderr)
    return done.stdout


def main():
    netlead, *kits = sys.argv[1:]
    tally = Tally("odds")
    with tempfile.TemporaryDirectory() as folder:
        for kit in kits:
            judge(tally, netlead, kit, pathlib.Path(folder))
    for failure in tally.failures:
        print(f"FAILED {failure}", file=sys.stderr)
    print(f"odds: {tally.passed} shares of copies as counted")
    return bool(tally.failures)


if __name__ == "__main__":
    sys.exit(main())
