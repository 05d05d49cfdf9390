"""Judges `netlead pairs` against tables typed here, published net leads, and `netlead check`.

Every pair of threads is put together here in exact fractions and counted; the counts have to be
those that the program says it tried. Net leads that others publish have to be found. Of two wishes
every pair that gives the travel is written as a kit, and what `check` says of it on its meshes has to
agree with what the search foresaw without them.
"""

import concurrent.futures
import json
import pathlib
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product

from tally import Tally

INCH = Fraction(254, 10)
# Without --within, and in how near a wish counts as met that wants no tolerance: src/pairs/wish.rs.
LARGEST_MAJOR = Fraction(40)
ROUNDING = Fraction(1, 10**9)
# A pair this near to the edge of the tolerance, as a share of the travel, could fall on either side
# in doubles.
EDGE = Fraction(1, 10**12)
# Rows carry six decimals of a millimetre.
LENGTH = 1e-6
# Kits are judged by so many processes at once.
AT_ONCE = 2

# ISO 261, M3 to M64, all three choices, from memory: diameter, coarse pitch (- for none), fine ones.
ISO_261 = """
3 0.5 0.35 | 3.5 0.6 0.35 | 4 0.7 0.5 | 4.5 0.75 0.5 | 5 0.8 0.5 | 5.5 - 0.5 | 6 1 0.75 | 7 1 0.75
8 1.25 1 0.75 | 9 1.25 1 0.75 | 10 1.5 1.25 1 0.75 | 11 1.5 1 0.75 | 12 1.75 1.5 1.25 1
14 2 1.5 1.25 1 | 15 - 1.5 1 | 16 2 1.5 1 | 17 - 1.5 1 | 18 2.5 2 1.5 1 | 20 2.5 2 1.5 1
22 2.5 2 1.5 1 | 24 3 2 1.5 1 | 25 - 2 1.5 1 | 26 - 1.5 | 27 3 2 1.5 1 | 28 - 2 1.5 1
30 3.5 3 2 1.5 1 | 32 - 2 1.5 | 33 3.5 3 2 1.5 | 35 - 1.5 | 36 4 3 2 1.5 | 38 - 1.5 | 39 4 3 2 1.5
40 - 3 2 1.5 | 42 4.5 4 3 2 1.5 | 45 4.5 4 3 2 1.5 | 48 5 4 3 2 1.5 | 50 - 3 2 1.5 | 52 5 4 3 2 1.5
55 - 4 3 2 1.5 | 56 5.5 4 3 2 1.5 | 58 - 4 3 2 1.5 | 60 5.5 4 3 2 1.5 | 62 - 4 3 2 1.5
64 6 4 3 2 1.5
"""

# ASME B1.1, from memory: size, threads to the inch of UNC, and of UNF where there is one.
ASME_B1_1 = """
#10 24 32 | #12 24 28 | 1/4 20 28 | 5/16 18 24 | 3/8 16 24 | 7/16 14 20 | 1/2 13 20 | 9/16 12 18
5/8 11 18 | 3/4 10 16 | 7/8 9 14 | 1 8 12 | 1+1/8 7 12 | 1+1/4 7 12 | 1+3/8 6 12 | 1+1/2 6 12
1+3/4 5 | 2 4.5
"""


@dataclass(frozen=True)
class Thread:
    """A right-hand thread of a series; lengths in mm."""

    name: str
    series: str
    major: Fraction
    pitch: Fraction
    starts: int = 1

    @property
    def lead(self):
        return self.pitch * self.starts

    @property
    def in_inches(self):
        return self.series in ("unc", "unf")


def typed_rows(table):
    """Rows of a table of the above kind, as lists of words."""
    return [row.split() for line in table.strip().splitlines() for row in line.split("|")]


def unified_major(size):
    """Inches: a number's is 0.060 and 0.013 for each step, by ASME B1.1; others say it."""
    if size.startswith("#"):
        return Fraction(60, 1000) + int(size[1:]) * Fraction(13, 1000)
    return sum(Fraction(word) for word in size.split("+"))


def all_threads():
    """Every standard thread, keyed by its series."""
    series = {"iso-coarse": [], "iso-fine": [], "unc": [], "unf": []}
    for major, coarse, *fine in typed_rows(ISO_261):
        for kind, pitch in [("iso-coarse", coarse)] * (coarse != "-") + [
            ("iso-fine", pitch) for pitch in fine
        ]:
            name = f"M{major}x{pitch}"
            series[kind].append(Thread(name, kind, Fraction(major), Fraction(pitch)))
    for size, *per_inch in typed_rows(ASME_B1_1):
        for kind, count in zip(("unc", "unf"), per_inch):
            name = f"{size.replace('+', ' ')}-{count} {kind.upper()}"
            pitch = INCH / Fraction(count)
            series[kind].append(Thread(name, kind, unified_major(size) * INCH, pitch))
    return series


THREADS = all_threads()
GROUPS = {
    "iso": ["iso-coarse", "iso-fine"],
    "unified": ["unc", "unf"],
    "all": ["iso-coarse", "iso-fine", "unc", "unf"],
}
# How a second thread may wind beside a right-hand one.
SIGNS = {"same": [1], "opposite": [-1], "either": [1, -1]}


@dataclass
class Wish:
    """A wish as it is typed, and as it is counted here; lengths in mm."""

    net_lead: str
    tolerance: str = "1"
    layouts: str = "nested"
    series: str = "iso"
    hands: str = "same"
    starts: int = 1
    mixed: bool = False
    inch: bool = False
    within: str = ""
    stroke: str = "6 mm"
    more: list = field(default_factory=list)

    def arguments(self):
        words = ["--net-lead", self.net_lead, "--tolerance", self.tolerance, "--layout", self.layouts,
                 "--series", self.series, "--hands", self.hands, "--starts", str(self.starts),
                 "--stroke", self.stroke]
        words += ["--mixed"] * self.mixed + ["--inch"] * self.inch
        return words + (["--within", self.within] if self.within else []) + self.more

    def length(self, text):
        number, *unit = text.split()
        in_inches = unit == ["in"] or (not unit and self.inch)
        return Fraction(number) * (INCH if in_inches else 1)

    def largest(self):
        """The middle one of three sides, or what holds where none are said."""
        if not self.within:
            return LARGEST_MAJOR
        return self.length(sorted(self.within.split("x"), key=Fraction)[1])

    def threads(self):
        names = [name for word in self.series.split(",") for name in GROUPS.get(word, [word])]
        for name, starts in product(dict.fromkeys(names), range(1, self.starts + 1)):
            for one in THREADS[name]:
                if one.major <= self.largest():
                    yield Thread(one.name, one.series, one.major, one.pitch, starts)

    def meets(self, lead):
        """Whether a travel is near enough; one on the very edge is a wish to be written anew."""
        wished = self.length(self.net_lead)
        off, allowed = abs(lead - wished) / wished, max(Fraction(self.tolerance) / 100, ROUNDING)
        if abs(off - allowed) < EDGE:
            raise ValueError(f"a pair lies on the edge of the tolerance of {self.net_lead}")
        return off <= allowed

    def pairs(self):
        """(layout, drive, second or None, net lead) of everything that gives the travel."""
        threads = list(self.threads())
        for layout in self.layouts.split(","):
            if layout in ("single", "opposed"):
                yield from ((layout, one, None, one.lead) for one in threads if self.meets(one.lead))
                continue
            for drive, second in product(threads, threads):
                if second.major >= drive.major:
                    continue
                if drive.in_inches != second.in_inches and not self.mixed:
                    continue
                for sign in SIGNS[self.hands]:
                    lead = abs(drive.lead - sign * second.lead)
                    if self.meets(lead):
                        yield layout, drive, second, lead


# Coarse and fine, both units, every layout, tolerance, hand, series and the bound of --within.
COUNTED = [
    Wish("0.65", "0"),
    Wish("0.41"),
    Wish("0.41", "5"),
    Wish("0.75", "5", layouts="nested,tandem"),
    Wish("2.25", "5", hands="opposite"),
    Wish("0.7", "1", hands="either", starts=2),
    Wish("1.5", "0", layouts="single,opposed", starts=2),
    Wish("2.5", "5", layouts="tandem,single,opposed", series="iso-coarse", starts=2, hands="either"),
    Wish("0.028", "1", series="unified", inch=True, stroke="0.25"),
    Wish("0.05", "0", series="unified", inch=True, stroke="0.25", layouts="single,tandem"),
    Wish("0.0397", "5", series="unified", inch=True, starts=2, stroke="0.25", within="4x1x1.1"),
    Wish("0.122", "5", series="unified", inch=True, stroke="0.25", hands="opposite", layouts="tandem"),
    Wish("0.85", "1", series="all"),
    Wish("0.85", "1", series="all", mixed=True),
    Wish("0.2", "5", series="all", mixed=True, starts=2, hands="either", within="200x24x23.5"),
    Wish("0.5", "1", series="iso-coarse", within="20x150x60"),
    Wish("1", "1", series="iso-fine", within="30x24x24"),
    Wish("0.21", "5", series="iso-coarse,unf", mixed=True, within="18x24x100"),
]


@dataclass
class Published:
    """A net lead that others publish, with the threads that give it."""

    source: str
    net_lead: str
    series: str
    drive: str
    second: str
    hands: str = "same"
    mixed: bool = False
    inch: bool = False
    # Room whose middle side leaves few threads beside these.
    within: str = ""


PUBLISHED = [
    Published("published: encyclopedia article `Differential screw`, 16 and 24 threads to the inch, "
              "0.0208 in", "0.0208", "unified", "3/8-16 UNC", "5/16-24 UNF", inch=True,
              within="0.376x0.376x9"),
    Published("published: page on mechanisms `Nut-screw differential mechanism`, M8x1.25 and M5x0.8, "
              "0.45 mm", "0.45", "iso-coarse", "M8x1.25", "M5x0.8", within="8.1x8.1x200"),
    # Their 1/4-20 and 1/4-28 are of one diameter, which no pair here can be; the same pitches of other
    # sizes give the same.
    Published("published: machinists' forum page on differential screw fasteners, 20 and 28 threads to "
              "the inch, 70 turns to the inch", "0.0142857", "unified", "1/4-20 UNC", "#12-28 UNF",
              inch=True, within="0.251x0.251x9"),
    Published("published: tool makers' forum page on 6 threads per inch, 1/4-28 and M4x0.7, 0.0082 in",
              "0.0082", "iso-coarse,unf", "1/4-28 UNF", "M4x0.7", mixed=True, inch=True,
              within="0.251x0.251x9"),
    Published("the same, exact: 122.6207 turns to the inch", "0.00815523", "iso-coarse,unf",
              "1/4-28 UNF", "M4x0.7", mixed=True, inch=True, within="0.251x0.251x9"),
    Published("published: column on very fine adjustments with differential screws, M5x0.8 and M4x0.7, "
              "0.1 mm", "0.1", "iso-coarse", "M5x0.8", "M4x0.7", within="5.1x5.1x200"),
]


# Screws to buy for a travel in a turn, by their coarse pitch.
BOUGHT = [
    ("0.5", False, "M3x0.5", "ISO 261"), ("0.7", False, "M4x0.7", "ISO 261"),
    ("0.8", False, "M5x0.8", "ISO 261"), ("1", False, "M6x1", "ISO 261"),
    ("1.25", False, "M8x1.25", "ISO 261"), ("1.5", False, "M10x1.5", "ISO 261"),
    ("1.75", False, "M12x1.75", "ISO 261"), ("0.05", True, "1/4-20 UNC", "ASME B1.1"),
]

# What a hand does at the stops in every kit that is judged here, and in the search.
HAND_TORQUE = "1 N m"
JUDGED = [
    Wish("0.5", "1", series="iso-coarse"),
    Wish("0.05", "5", series="unc", inch=True, layouts="nested,tandem"),
]
SECOND = {"nested": "inner", "tandem": "thin"}


def found_by(program, wish, more=()):
    """What the program finds for a wish; exit 1 says that nothing can be built."""
    command = [program, "pairs", "--json", *wish.arguments(), *more]
    ran = subprocess.run(command, capture_output=True, text=True)
    if ran.returncode not in (0, 1) or not ran.stdout:
        raise ValueError(f"exit {ran.returncode}: {' '.join(command)}\n{ran.stderr}")
    return json.loads(ran.stdout)


def chart_of(program, series):
    """The chart of a series with room for all its threads: net lead in mm of drive and second."""
    command = [program, "pairs", "--chart", series, "--within", "100mmx100mmx300mm", "--json"]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    return {(cell["drive"], cell["second"]): cell["net_lead_mm"] for cell in json.loads(ran.stdout)}


def judge_charts(program, tally):
    """Every two threads of a series with leads that differ, by name and net lead, and no other."""
    for series, threads in THREADS.items():
        with tally.guard(f"chart of {series}"):
            cells = chart_of(program, series)
            expected = {
                (drive.name, second.name): abs(drive.lead - second.lead)
                for drive, second in product(threads, threads)
                if second.major < drive.major and drive.lead != second.lead
            }
            apart = sorted(cells.keys() ^ expected.keys())
            tally.check(not apart, f"chart of {series}: differs in {apart[:5]}")
            off = [pair for pair in cells.keys() & expected.keys()
                   if abs(cells[pair] - float(expected[pair])) > LENGTH]
            tally.check(not off, f"chart of {series}: other net leads of {sorted(off)[:5]}")


def named(thread):
    """As the program calls it; more than one start is not compared by name."""
    return thread.name if thread is None or thread.starts == 1 else None


def judge_count(program, wish, tally):
    """As many pairs as are counted here, and each that is told is one of them."""
    what = " ".join(wish.arguments())
    with tally.guard(what):
        pairs = list(wish.pairs())
        found = found_by(program, wish)
        tally.check(found["tried"] == len(pairs), f"{what}: {found['tried']} tried, not {len(pairs)}")
        leads = {(layout, float(lead)) for layout, _, _, lead in pairs}
        names = {(layout, drive.name, second and second.name) for layout, drive, second, _ in pairs}
        for told in found["rows"] + found["near"]:
            near = any(layout == told["layout"] and abs(lead - told["net_lead_mm"]) <= LENGTH
                       for layout, lead in leads)
            tally.check(near, f"{what}: {told['net_lead_mm']} mm is no travel of a pair")
            if wish.starts == 1 and wish.hands == "same":
                pair = (told["layout"], told["drive"], told["second"])
                tally.check(pair in names, f"{what}: {pair} is no pair that gives it")
        # Of some that can be built at first sight, copies may still fail; those are told as near.
        behind = sum(miss["alike"] for miss in found["near"])
        tally.check(behind >= found["tried"] - found["buildable"],
                    f"{what}: {behind} told of {found['tried'] - found['buildable']} that fail")
        return len(pairs)


def judge_published(program, one, tally):
    """A published pair is among those that give its net lead, here and in what the program tells."""
    with tally.guard(one.source):
        wish = Wish(one.net_lead, "1", series=one.series, hands=one.hands, mixed=one.mixed, inch=one.inch,
                    within=one.within, stroke="1 mm")
        pairs = [(drive.name, second.name) for _, drive, second, _ in wish.pairs()]
        tally.check((one.drive, one.second) in pairs, f"{one.source}: not counted here")
        found = found_by(program, wish)
        tally.check(found["tried"] == len(pairs),
                    f"{one.source}: {found['tried']} tried, not {len(pairs)} as {pairs}")
        told = {(pair["drive"], pair["second"]) for pair in found["rows"] + found["near"]}
        tally.check(told and told <= set(pairs), f"{one.source}: tells {told}, of {pairs}")


def judge_bought(program, tally):
    """The first screw to buy for a travel is the one of its coarse pitch."""
    for travel, inch, designation, standard in BOUGHT:
        with tally.guard(f"to buy for {travel}"):
            wish = Wish(travel, layouts="single", series="unc" if inch else "iso-coarse", inch=inch)
            told = [(one["designation"], one["standard"]) for one in found_by(program, wish)["to_buy"]]
            tally.check(told[:1] == [(designation, standard)],
                        f"to buy for {travel}: {told}, not first {designation} ({standard})")


def kit_text(wish, layout, drive, second):
    """The kit of a pair, with nothing but what the wish says."""
    return (f'name = "pair"\nlayout = "{layout}"\n' + 'units = "inch"\n' * wish.inch
            + f'drive = "{drive.name}"\n{SECOND[layout]} = "{second.name}"\nstroke = "{wish.stroke}"\n'
            f'hand_torque = "{HAND_TORQUE}"\n')


def verdict(program, kit):
    """What `check` says on the meshes: the rules that fail, or that the kit is refused."""
    command = [program, "check", str(kit), "--json"]
    ran = subprocess.run(command, capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        raise ValueError(f"exit {ran.returncode}: {' '.join(command)}\n{ran.stderr}")
    if not ran.stdout:
        return ["refused"]
    checks = json.loads(ran.stdout)["checks"]
    failing = sorted({check["id"] for check in checks if check["outcome"] == "fail"})
    if bool(failing) != bool(ran.returncode):
        raise ValueError(f"exit {ran.returncode}, but {failing} fail: {' '.join(command)}")
    return failing


def judge_kits(program, wish, folder, pool, tally):
    """Every pair that gives the travel: told as buildable if, and only if, its kit fails no check."""
    pairs = list(wish.pairs())
    found = found_by(program, wish, ["--with", f"hand_torque={HAND_TORQUE}", "--most", str(len(pairs))])
    tally.check(found["tried"] == len(pairs), f"{found['tried']} tried, not {len(pairs)} kits")
    told = {(row["layout"], row["drive"], row["second"]) for row in found["rows"]}
    kits = []
    for place, (layout, drive, second, _) in enumerate(pairs):
        kit = folder / f"{layout}-{wish.series}-{place}.toml"
        kit.write_text(kit_text(wish, layout, drive, second), encoding="utf-8")
        kits.append(kit)
    for pair, failing in zip(pairs, pool.map(lambda kit: verdict(program, kit), kits)):
        layout, drive, second, _ = pair
        is_told = (layout, drive.name, second.name) in told
        what = f"{layout} {drive.name} / {second.name} of {' '.join(wish.arguments())}"
        tally.check(is_told != bool(failing),
                    f"{what}: {'told as buildable' if is_told else 'not told'}, but check says "
                    f"{', '.join(failing) or 'that nothing fails'}")
    tally.check(told, f"{' '.join(wish.arguments())}: nothing can be built, so little is judged")
    tally.check(len(told) < len(pairs), f"{' '.join(wish.arguments())}: nothing fails to be judged")
    return len(pairs)


def main(program):
    tally = Tally("pairs")
    judge_charts(program, tally)
    counted = [judge_count(program, wish, tally) for wish in COUNTED]
    for one in PUBLISHED:
        judge_published(program, one, tally)
    judge_bought(program, tally)
    kits = 0
    with tempfile.TemporaryDirectory() as folder, \
            concurrent.futures.ThreadPoolExecutor(AT_ONCE) as pool:
        for wish in JUDGED:
            with tally.guard(f"kits of {' '.join(wish.arguments())}"):
                kits += judge_kits(program, wish, pathlib.Path(folder), pool, tally)
    for failure in tally.failures:
        print(failure, file=sys.stderr)
    outcome = "all agree" if not tally.failures else f"{len(tally.failures)} disagree"
    print(f"pairs: {len(counted)} counts, {len(PUBLISHED)} published, {kits} kits judged: {outcome}")
    return 1 if tally.failures else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
