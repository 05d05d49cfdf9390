"""Judges `netlead tune` against numpy's least squares on synthetic readings.

The form comes from `netlead coupon`; it is filled with readings of a made-up printer, and the
fit is done here a second time: the model's matrix from the sizes alone, whitened with the
Cholesky factor of the covariance, and solved by numpy.linalg.lstsq (LAPACK gelsd). Once more with
the form's ladders answered too: from the widest step down, the last that the printer makes go.
"""

import argparse
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import tomllib

import numpy as np

from tally import Tally

TERMS = ["scale_x", "scale_y", "scale_z", "z_offset", "outer_growth", "slot_growth",
         "hole_growth", "curvature"]
TRUTH = np.array([-0.0015, 0.0008, 0.002, 0.04, 0.055, 0.03, 0.10, 0.08])
WITHIN, BETWEEN = 0.04, 0.02
# The two fits go through different factorisations of the same matrices.
RELATIVE = 1e-8


def model_row(name, drawn):
    """Weights of the terms, and of the print's own effect."""
    kind = name.rsplit("-", 1)[0]
    row = dict.fromkeys(TERMS, 0.0)
    effect = {"outer-x": 2, "outer-y": 2, "boss": 2, "slot-x": -2, "slot-y": -2, "hole": -2,
              "height": 0}[kind]
    if kind == "height":
        row["scale_z"], row["z_offset"] = drawn, 1.0
    elif kind in ("boss", "hole"):
        row["scale_x"] = row["scale_y"] = drawn / 2
        row["curvature"] = -4 / drawn
        row["outer_growth" if kind == "boss" else "hole_growth"] = effect
    else:
        row[f"scale_{kind[-1]}"] = drawn
        row["outer_growth" if kind.startswith("outer") else "slot_growth"] = effect
    return [row[term] for term in TERMS], effect


# By kind of ladder: the printed gap from which on a hand feels that it goes, and what the printer
# takes from the drawn one; by docs/printing.md.
LADDERS = {
    "thread": (0.0, {"outer_growth": 1, "hole_growth": 1, "flank_extra": 1}),
    "slide": (0.02, {"outer_growth": 1, "slot_growth": 1}),
    "pin-on-ribs": (0.0, {"outer_growth": 1, "lying_growth": 1}),
    "pin-lying": (-0.04, {"outer_growth": 1, "lying_growth": 1}),
    "pin-upright": (-0.04, {"outer_growth": 1, "hole_growth": 1}),
}
OF_LADDERS = {"lying_growth": 0.07, "flank_extra": 0.16}
FACE, HAND = 0.6, 0.01


def answered(ladder, effects, random):
    """The last step that goes, from the widest down, for each print."""
    begins, takes = LADDERS[ladder["kind"]]
    true = dict(zip(TERMS, TRUTH)) | OF_LADDERS
    answers = []
    for effect in effects:
        plug = sum(true[term] for term in takes) + 2 * effect + random.normal(0, FACE * WITHIN)
        own = random.normal(0, np.hypot(FACE * WITHIN, HAND), len(ladder["gaps"]))
        goes = np.array(ladder["gaps"]) - plug - own >= begins
        down = next((at for at in reversed(range(len(goes))) if not goes[at]), -1)
        answers.append(min(down + 2, len(goes)))
    return answers


def filled(text, readings, answers=()):
    """The form with readings, and answers to its ladders, between its brackets, in file order."""
    lists = iter(["[" + ", ".join(repr(float(x)) for x in row) + "]" for row in readings])
    text = re.sub(r"measured = \[\]", lambda _: f"measured = {next(lists)}", text)
    counts = iter([str(list(row)) for row in answers])
    return re.sub(r"best   = \[\]", lambda _: f"best   = {next(counts, '[]')}", text)


def expected(matrix, effects, differences, within, between):
    """Values and covariance by whitened least squares; a column of readings for each print."""
    prints = differences.shape[1]
    one = 2 * within ** 2 * np.eye(len(effects)) + between ** 2 * np.outer(effects, effects)
    white = np.linalg.cholesky(one)
    x = np.vstack([np.linalg.solve(white, matrix)] * prints)
    y = np.concatenate([np.linalg.solve(white, differences[:, p]) for p in range(prints)])
    values, _, rank, _ = np.linalg.lstsq(x, y, rcond=None)
    inverse = np.linalg.pinv(x)
    return values, inverse @ inverse.T, rank


def judge(netlead, folder, text, prints, seed, tally):
    form = tomllib.loads(text)
    drawn = np.array([row["drawn"] for row in form["row"]])
    rows = [model_row(row["name"], row["drawn"]) for row in form["row"]]
    matrix = np.array([weights for weights, _ in rows])
    effects = np.array([effect for _, effect in rows])
    random = np.random.default_rng(seed)
    # A reading lies between two walls, and WITHIN is the scatter of one.
    noise = random.normal(0, WITHIN * np.sqrt(2), (len(drawn), prints))
    noise += np.outer(effects, random.normal(0, BETWEEN, prints))
    differences = (matrix @ TRUTH)[:, None] + noise
    path = folder / f"form-{prints}-{seed}.toml"
    path.write_text(filled(text, drawn[:, None] + differences))
    run = subprocess.run([netlead, "--json", "tune", path, "--out", folder / f"{path.stem}.out"],
                         capture_output=True, text=True, check=False)
    where = f"{prints} prints, seed {seed}"
    if not tally.check(run.returncode == 0, f"{where}: {run.stderr}"):
        return
    found = json.loads(run.stdout)
    if any(row["left_out"] for row in found["rows"]):
        return
    spread = found["spread"]
    if prints < 3:
        tally.near(spread["within_mm"], WITHIN, 1e-12, f"{where}: spread within, as believed")
        tally.near(spread["between_mm"], BETWEEN, 1e-12, f"{where}: spread between, as believed")
    values, covariance, rank = expected(matrix, effects, differences, spread["within_mm"],
                                        spread["between_mm"])
    tally.check(rank == len(TERMS), f"{where}: rank {rank}")
    tally.check([term["term"] for term in found["terms"]] == TERMS, f"{where}: terms")
    errors = np.sqrt(np.diag(covariance))
    for index, term in enumerate(found["terms"]):
        name = f"{where}: {term['term']}"
        tally.near(term["value"], values[index], RELATIVE * errors[index] * 10, name)
        tally.near(term["error"], errors[index], RELATIVE * errors[index] * 10, f"{name}, error")
    scale = np.outer(errors, errors)
    worst = np.max(np.abs(np.array(found["covariance"]) - covariance) / scale)
    tally.check(worst < RELATIVE * 10, f"{where}: covariance off by {worst}")


def judge_ladders(netlead, folder, text, seed, tally):
    """Readings and ladders of three prints together."""
    form = tomllib.loads(text)
    drawn = np.array([row["drawn"] for row in form["row"]])
    rows = [model_row(row["name"], row["drawn"]) for row in form["row"]]
    effects = np.array([effect for _, effect in rows])
    random = np.random.default_rng(1000 + seed)
    prints = random.normal(0, BETWEEN, 3)
    noise = random.normal(0, WITHIN * np.sqrt(2), (len(drawn), 3)) + np.outer(effects, prints)
    differences = (np.array([weights for weights, _ in rows]) @ TRUTH)[:, None] + noise
    answers = [answered(ladder, prints, random) for ladder in form["ladder"]]
    path = folder / f"ladders-{seed}.toml"
    path.write_text(filled(text, drawn[:, None] + differences, answers))
    run = subprocess.run([netlead, "--json", "tune", path, "--out", folder / f"{path.stem}.out"],
                         capture_output=True, text=True, check=False)
    where = f"ladders, seed {seed}"
    if not tally.check(run.returncode == 0, f"{where}: {run.stderr}"):
        return 0
    found = json.loads(run.stdout)
    ends = any(count in (1, len(ladder["gaps"]))
               for ladder, counts in zip(form["ladder"], answers) for count in counts)
    if ends or any(row["left_out"] for row in found["rows"]):
        return 0
    terms = [term["term"] for term in found["terms"]]
    within, between = found["spread"]["within_mm"], found["spread"]["between_mm"]
    known = [[dict(zip(TERMS, weights)).get(term, 0.0) for term in terms] for weights, _ in rows]
    matrix = list(known) + [[float(LADDERS[ladder["kind"]][1].get(term, 0)) for term in terms]
                            for ladder in form["ladder"]]
    variances, values = [2 * within ** 2] * len(rows), list(differences)
    for ladder, counts in zip(form["ladder"], answers):
        gaps = ladder["gaps"]
        step = (gaps[-1] - gaps[0]) / (len(gaps) - 1)
        variances.append(step ** 2 / 12 + 2 * (FACE * within) ** 2 + HAND ** 2)
        values.append([gaps[count - 1] - step / 2 - LADDERS[ladder["kind"]][0] for count in counts])
    effects = np.concatenate([effects, [2] * len(form["ladder"])])
    one = np.diag(variances) + between ** 2 * np.outer(effects, effects)
    white = np.linalg.cholesky(one)
    x = np.vstack([np.linalg.solve(white, np.array(matrix))] * 3)
    y = np.concatenate([np.linalg.solve(white, np.array(values)[:, p]) for p in range(3)])
    expect, _, _, _ = np.linalg.lstsq(x, y, rcond=None)
    errors = np.sqrt(np.diag(np.linalg.pinv(x) @ np.linalg.pinv(x).T))
    for index, term in enumerate(found["terms"]):
        tally.near(term["value"], expect[index], RELATIVE * errors[index] * 10,
                   f"{where}: {term['term']}")
        tally.near(term["error"], errors[index], RELATIVE * errors[index] * 10,
                   f"{where}: {term['term']}, error")
    return 1


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--netlead", required=True)
    parser.add_argument("kit")
    arguments = parser.parse_args()
    tally = Tally("least squares")
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        subprocess.run([arguments.netlead, "coupon", arguments.kit, "--out", folder / "coupons"],
                       capture_output=True, check=True)
        text = (folder / "coupons" / "form.toml").read_text()
        for prints in (1, 2, 3, 5):
            for seed in range(5):
                judge(arguments.netlead, folder, text, prints, seed, tally)
        judged = sum(judge_ladders(arguments.netlead, folder, text, seed, tally)
                     for seed in range(10))
        tally.check(judged >= 3, f"only {judged} forms with ladders could be judged")
    for failure in tally.failures:
        print(f"FAILED {failure}")
    print(f"{tally.passed} passed, {len(tally.failures)} failed")
    return 1 if tally.failures or not tally.passed else 0


if __name__ == "__main__":
    sys.exit(main())
