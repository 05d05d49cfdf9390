"""Judges the verdicts of `trial` on simulated trials, each with one known cause.

Usage: trial_causes.py NETLEAD. The simulation is written down anew from what happens at a bench:
a carriage with play that flanks push forward and back, a drive that is turned to each row in
turn, a hand that miscounts, an instrument that is bumped, misread or coarser than said. Kits,
instruments and plans of rows are drawn over the documented ranges; a cause is drawn only as
large as such an instrument can show. Counts how often each is named, how often a sound screw is
accused, and how often the interval of the lost motion holds the play that was put in.
"""

import json
import os
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

import numpy as np

SEED = 20261126
RUNS = 30  # of each cause
SOUND_RUNS = 120
COVERAGE_RUNS = 200  # of each step
NAMED = 0.9
ACCUSED = 0.05
KITS = [
    ("M20x2.5", "M12x1.75", 2.5, 1.75),
    ("M24x3", "M16x2", 3.0, 2.0),
    ("M16x2", "M8x1.25", 2.0, 1.25),
    ("M20x2.5", None, 2.5, 0.0),
]
OTHER_PITCH = {1.75: [1.5, 1.25], 2.0: [1.5, 1.0], 1.25: [1.0], 2.5: [2.0, 1.5]}
STEPS = [0.01, 0.02, 0.05, 0.1]
COVERED_STEPS = [0.02, 0.1, 0.25]
REFUSED_STEP, REFUSED_RUNS = 0.5, 30
HELD = (0.93, 0.97)
CLEAR = 6.0  # standard uncertainties of a reading that a cause stands clear of noise
WORDS = {
    "sound": "agrees", "start": "lost motion at the start", "play": "more play",
    "miscount": "turn miscounted", "zero": "zero moved", "misread": "row misread",
    "coarse": "coarse rule", "thread": "wrong thread", "scale": "printer scale",
    "ripple": "error within a turn",
}
OPEN = "cannot be told"


class Bench:
    """A kit with its prediction, as the program tells it."""

    def __init__(self, program, folder, number):
        drive, inner, outer_pitch, inner_pitch = KITS[number]
        self.pitches, self.program, self.folder = (outer_pitch, inner_pitch), program, folder
        self.kit = os.path.join(folder, f"kit{number}.toml")
        layout = f'layout = "nested"\ninner = "{inner}"' if inner else 'layout = "single"'
        with open(self.kit, "w", encoding="utf-8") as file:
            file.write(f'name = "k{number}"\n{layout}\ndrive = "{drive}"\nstroke = 10\nlayer = 0.14\n')
        self.lead = outer_pitch - inner_pitch
        predicted = self.run("first", "travel", 0.02, 0.0, [(0, 0.0, 0), (4, 4 * self.lead, 0)])
        self.error = predicted["predicted"]["net_lead_standard_error_mm"]
        self.play = predicted["predicted"]["lost_motion_mm"]["high"]
        self.last = int(10 / self.lead)

    def run(self, name, reading, step, repeat, rows):
        form = os.path.join(self.folder, f"{name}.toml")
        listed = ", ".join(
            f'[{n:.6g}, {x:.6f}, "{"back" if back else "forward"}"]' for n, x, back in rows
        )
        with open(form, "w", encoding="utf-8") as file:
            file.write(f'reading = "{reading}"\nresolution = {step}\n')
            file.write(f"repeatability = {repeat}\n" if repeat else "")
            file.write(f"rows = [{listed}]\n")
        command = [self.program, "--json", "trial", self.kit, form, "--out", f"{self.folder}/{name}"]
        done = subprocess.run(command, capture_output=True, check=False, text=True)
        if done.returncode:
            raise AssertionError(done.stderr + open(form, encoding="utf-8").read())
        return json.loads(done.stdout)


def plan(rng, bench, cause):
    """Turns of the rows, and which are reached coming back."""
    if bench.last < 8:
        out = np.arange(0, bench.last + 0.01, 0.5)
    elif cause == "ripple" or rng.random() < 0.25:
        out = np.concatenate([[0.0, 2.0], np.arange(4, 6.01, 0.25), [8.0, bench.last]])
    else:
        out = np.arange(0, bench.last + 0.01, rng.choice([1.0, 2.0]) if bench.last < 11 else 2.0)
    # The way back starts with the play taken up, or nearly so.
    past = np.ceil(bench.play / bench.lead)
    back = np.arange(out[-1] - past, -0.01, -1.0 if bench.last >= 8 else -0.5)
    if cause == "play":
        back = np.concatenate([[out[-1] - 0.25], back])
    turns = np.concatenate([out, back])
    ways = np.concatenate([np.zeros(len(out)), np.ones(len(back))])
    return turns, ways.astype(int)


def carriage(turns, ways, lead, play, ahead, ripple):
    """Travel at each row: the carriage moves only when a flank pushes it."""
    place, list_of = ahead, []
    for n in turns:
        pushed = lead * n + ripple * np.sin(2 * np.pi * n + 0.7)
        place = min(max(place, pushed), pushed + play)
        list_of.append(place)
    return np.array(list_of)


def miscounted(rng, turns, ways, inside):
    """Turns as they were made: one more or fewer than written, in one row or from it on.

    A hand that loses count does not turn back for it, so a way goes on as it went.
    """
    while True:
        row, made = int(rng.choice(inside)), turns.copy()
        rows = slice(row, row + 1) if rng.random() < 0.3 else slice(row, len(turns))
        made[rows] += rng.choice([-1, 1])
        forward = np.diff(made)[ways[1:] == 0]
        back = np.diff(made)[(ways[1:] == 1) & (ways[:-1] == 1)]
        if (forward > 0).all() and (back < 0).all():
            return made, row


def trial(rng, bench, cause, step, noise):
    """Rows of one trial with one cause, and the truth of it."""
    turns, ways = plan(rng, bench, cause)
    count, first_back = len(turns), int(np.argmax(ways))
    unit = np.hypot(step / np.sqrt(12), noise)
    clear = max(CLEAR * unit, 2.2 * step + 2 * noise)
    sign = rng.choice([-1, 1])
    truth = {"lead": bench.lead * (1 + bench.error / bench.lead * np.clip(rng.normal(), -2, 2))}
    play, ahead, ripple = rng.uniform(0.1, 0.95) * bench.play, 0.0, 0.0
    inside = [k for k in range(2, count - 2) if abs(k - first_back) > 1]
    row = truth["row"] = int(rng.choice(inside))
    made, off, read_step = turns.copy(), np.zeros(count), step
    if cause == "start":
        play = max(play, clear)
        ahead = play
    elif cause == "play":
        play = bench.play * rng.uniform(1.2, 2.5) + clear
    elif cause == "miscount":
        made, truth["row"] = miscounted(rng, turns, ways, inside)
    elif cause in ("zero", "misread"):
        size = clear * rng.uniform(1, 12)
        while abs(size - bench.lead) < clear:
            size = clear * rng.uniform(1, 12)
        off[row if cause == "misread" else slice(row, count)] = sign * size
    elif cause == "coarse":
        # Steps that the net lead is no multiple of: else every row falls on them anyway.
        read_step = rng.choice([q for q in (0.4, 0.5, 1.0) if (bench.lead / q) % 1])
    elif cause == "thread":
        outer, inner = bench.pitches
        at = inner if inner else outer
        other = rng.choice(OTHER_PITCH[at])
        truth["lead"] *= (outer - other if inner else other) / bench.lead
    elif cause == "scale":
        # Over the stroke of 10 mm it stands clear.
        least = max(5 * bench.error / bench.lead, clear / 10.0)
        truth["lead"] = bench.lead * (1 + sign * rng.uniform(least, max(least, 0.018)))
    elif cause == "ripple":
        ripple = clear / 2 * rng.uniform(1, 2)
    place = carriage(made, ways, truth["lead"], play, ahead, ripple) + off
    place += rng.uniform(0, 1) + rng.normal(0, 1, count) * noise
    readings = np.round(place / read_step) * read_step
    truth["play"] = play
    return list(zip(turns, np.round(readings, 6), ways)), truth


def possible(bench, cause, step, noise):
    """Whether such an instrument can show such a cause at all."""
    unit = np.hypot(step / np.sqrt(12), noise)
    clear = max(CLEAR * unit, 2.2 * step + 2 * noise)
    return {
        "start": clear < 0.9 * bench.play,
        "miscount": clear < bench.lead,
        "scale": clear / 10.0 < 0.016,
        "coarse": step <= 0.05 and noise < 0.05,
        "ripple": bench.last >= 8 and clear < 0.4,
    }.get(cause, True)


def draw(rng, benches, cause):
    while True:
        bench = benches[rng.integers(len(benches))]
        step = rng.choice(STEPS)
        noise = rng.choice([0.0, 0.25 * step, 0.02])
        if possible(bench, cause, step, noise):
            return bench, step, noise


def judged(benches, cause, runs, rng, pool):
    """Verdicts of so many runs of one cause."""
    jobs = []
    for number in range(runs):
        bench, step, noise = draw(rng, benches, cause)
        rows, truth = trial(rng, bench, cause, step, noise)
        repeat = noise if rng.random() < 0.5 else 0.0
        arguments = (f"{cause}{number}", "travel", step, repeat, rows)
        jobs.append((bench, step, noise, truth, pool.submit(bench.run, *arguments)))
    return [(b, s, n, t, job.result()) for b, s, n, t, job in jobs]


def cover(benches, step, runs, rng, pool):
    """How often the interval of the lost motion holds the play, how often it is told."""
    jobs = []
    for number in range(runs):
        bench = benches[rng.integers(len(benches))]
        noise = rng.choice([0.0, 0.02])
        rows, truth = trial(rng, bench, "sound", step, noise)
        repeat = noise if rng.random() < 0.5 else 0.0
        arguments = (f"cover{number}", "travel", step, repeat, rows)
        jobs.append((truth, pool.submit(bench.run, *arguments)))
    told = held = 0
    for truth, job in jobs:
        lost = job.result()["measured"]["lost_motion"]
        if lost:
            told += 1
            held += lost["low_mm"] <= truth["play"] <= lost["high_mm"]
    return told, held


def main(program):
    rng = np.random.default_rng(SEED)
    failures = []
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(os.cpu_count()) as pool:
        benches = [Bench(program, folder, number) for number in range(len(KITS))]
        for cause, word in WORDS.items():
            runs = SOUND_RUNS if cause == "sound" else RUNS
            done = judged(benches, cause, runs, rng, pool)
            counts = {}
            for *_, report in done:
                counts[report["verdict"]] = counts.get(report["verdict"], 0) + 1
            right = counts.get(word, 0)
            wrong = runs - right - counts.get(OPEN, 0)
            print(f"trial of {cause}: {counts}")
            for *_, report in done:
                assert (report["scale"] is None) == (report["verdict"] != WORDS["scale"]), report
            if cause != "scale" and WORDS["scale"] in counts:
                failures.append(f"{cause} told as a printer's scale")
            if cause == "sound" and wrong > ACCUSED * runs:
                failures.append(f"{wrong} of {runs} sound screws accused")
            if right < NAMED * runs:
                failures.append(f"{cause} named {right} of {runs} times")
        all_told = all_held = 0
        for step in COVERED_STEPS:
            told, held = cover(benches, step, COVERAGE_RUNS, rng, pool)
            print(f"lost motion at steps of {step}: told {told} of {COVERAGE_RUNS}, held {held}")
            all_told, all_held = all_told + told, all_held + held
        if not HELD[0] * all_told <= all_held <= HELD[1] * all_told:
            failures.append(f"the lost motion was held {all_held} of {all_told} times")
        if all_told < NAMED * COVERAGE_RUNS * len(COVERED_STEPS):
            failures.append(f"the lost motion was told {all_told} times")
        told, _ = cover(benches, REFUSED_STEP, REFUSED_RUNS, rng, pool)
        print(f"lost motion at steps of {REFUSED_STEP}: told {told} of {REFUSED_RUNS}")
        if told:
            failures.append(f"a rule with steps of {REFUSED_STEP} told the lost motion")
    for failure in failures:
        print(failure, file=sys.stderr)
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
