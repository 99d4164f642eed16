#!/usr/bin/env python3
"""compare over the processes of an MPI run, on one machine. usage: check_ranks.py PROGRAM SOURCE

Four processes give the bytes of one: the rows, the sums, and what is left to go on with when they are stopped.
"""
import os
import pathlib
import signal
import subprocess
import sys
import tempfile
import time

PROGRAM, SOURCE = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
STUDY = str(SOURCE / "profiles/studies/canyon-upgrade.json")
ALONE = [PROGRAM, "compare"]
# One thread each: four processes share the machine.
FOUR = ["mpirun", "--allow-run-as-root", "--oversubscribe", "-n", "4", "-x", "OMP_NUM_THREADS=1"] + ALONE
ENVIRONMENT = dict(os.environ, STILLWATT_DATA=str(SOURCE), LC_ALL="C")
good = failed = 0


def expect(condition, message):
    global good, failed
    good, failed = good + bool(condition), failed + (not condition)
    if not condition:
        print("wrong: " + message)


def run(command, folder, *words):
    return subprocess.run(command + list(words), cwd=folder, env=ENVIRONMENT, capture_output=True, text=True, check=False,
                          timeout=300)


def same_bytes(folder):
    one = run(ALONE, folder, STUDY, "--csv", "one.csv", "--json")
    four = run(FOUR, folder, STUDY, "--csv", "four.csv", "--json")
    expect(one.returncode == 0 and four.returncode == 0, f"ended with {one.returncode}, {four.returncode}: {four.stderr}")
    expect((folder / "one.csv").read_bytes() == (folder / "four.csv").read_bytes(), "four processes write other rows")
    expect(one.stdout == four.stdout and one.stdout.count('"kind"') == 1, "four processes say something else")
    three = run(FOUR[:4] + ["3"] + FOUR[5:], folder, STUDY, "--csv", "three.csv")
    expect(three.returncode == 0 and (folder / "three.csv").read_bytes() == (folder / "one.csv").read_bytes(),
           "three processes write other rows")


def go_on(folder):
    """Four processes go on with what one left, and one with what four left."""
    whole = (folder / "one.csv").read_bytes()
    for name, command in (("cut4", FOUR), ("cut1", ALONE)):
        (folder / f"{name}.csv.part").write_bytes(whole[:len(whole) * 2 // 3])
        ended = run(command, folder, STUDY, "--csv", f"{name}.csv", "--resume")
        expect(ended.returncode == 0 and (folder / f"{name}.csv").read_bytes() == whole, f"{name}: {ended.stderr}")


def stopped(folder):
    text = pathlib.Path(STUDY).read_text(encoding="utf-8")
    text = text.replace('"draws": 30', '"draws": 300').replace("../trips", str(SOURCE / "profiles/trips"))
    (folder / "long.json").write_text(text, encoding="utf-8")
    words = ["long.json", "--step", "5", "--csv", "stopped.csv"]
    started = subprocess.Popen(FOUR + words, cwd=folder, env=ENVIRONMENT, stdout=subprocess.DEVNULL,
                               stderr=subprocess.DEVNULL)
    part = folder / "stopped.csv.part"
    for _ in range(200):
        if part.exists() and part.stat().st_size > 500:
            break
        time.sleep(0.02)
    started.send_signal(signal.SIGTERM)
    started.wait(timeout=60)
    expect(part.exists(), "nothing is left of a run that was stopped")
    ended = run(ALONE, folder, *words, "--resume")
    undisturbed = run(ALONE, folder, *words[:3], "--csv", "undisturbed.csv")
    expect(ended.returncode == 0 and undisturbed.returncode == 0, ended.stderr)
    expect((folder / "stopped.csv").read_bytes() == (folder / "undisturbed.csv").read_bytes(),
           "rows of a run that was stopped are other ones")


def told_once(folder):
    (folder / "wrong.json").write_text('{"format": "stillwatt study 1"}', encoding="utf-8")
    ended = run(FOUR, folder, "wrong.json")
    expect(ended.returncode == 3, f"a wrong study ended with {ended.returncode}")
    expect(ended.stderr.count('a study needs the key "trips"') == 1, f"told so often: {ended.stderr}")


def told_by_the_last(folder):
    """A file that only the last process does not find."""
    other = folder / "other"
    other.mkdir()
    (folder / "here.json").write_text(pathlib.Path(STUDY).read_text(encoding="utf-8").replace(
        "../trips/canyon-week.json", "week.json"), encoding="utf-8")
    (other / "here.json").write_bytes((folder / "here.json").read_bytes())
    week = (SOURCE / "profiles/trips/canyon-week.json").read_text(encoding="utf-8")
    (folder / "week.json").write_text(week.replace("../vans", str(SOURCE / "profiles/vans")), encoding="utf-8")
    apart = FOUR[:4] + ["3"] + FOUR[5:] + ["here.json", ":", "-n", "1", "-wdir", str(other)] + ALONE + ["here.json"]
    ended = run(apart, folder)
    expect(ended.returncode == 3, f"a file that one process does not find ended with {ended.returncode}: {ended.stderr}")
    expect(ended.stderr.count("week.json could not be read") == 1, f"told so often: {ended.stderr}")
    expect(ended.stdout == "", "an answer, though one process has no trip")


with tempfile.TemporaryDirectory() as name:
    for check in (same_bytes, go_on, stopped, told_once, told_by_the_last):
        check(pathlib.Path(name))
print(f"{good} of {good + failed} as they should be")
sys.exit(failed > 0)
