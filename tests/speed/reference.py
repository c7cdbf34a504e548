"""perrev's ranking beside a general-purpose rule engine and beside a dense matrix, on the same cases.

    reference.py BUILD [--check] [--rounds 3]

First the program made for CLIPS (clips_program.py) is checked: for every made-up and every reference case it
fires exactly the rules that perrev finds true, and its sums are what the strengths of those rules add up to.
Then all are timed in turns, each on one thread, in CPU time; of several rounds the fastest counts. A run of
CLIPS is timed whole, once over the cases and once over them several times more: the difference is without
its start.
"""

import argparse
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from clips_program import Rules, facts, program

SOURCE = Path(__file__).resolve().parents[2]
CASES = 200  # as in reference_speed.cpp
TIMES = 10  # more over all cases in the long run
DECIBANS = 10 / math.log(10)


def told_cases(build, *which):
    told = subprocess.run([build / "tests/speed/perrev_told_cases", *which], check=True, capture_output=True, text=True)
    return [json.loads(line) for line in told.stdout.splitlines()]


class Clips:
    """The program and its cases, as files in a folder."""

    def __init__(self, folder, rules):
        self.folder = folder
        (folder / "rules.clp").write_text(program(rules))

    def write(self, cases):
        asserted = [f"(deffunction case-{i} () {' '.join(f'(assert {fact})' for fact in facts(case))})"
                    for i, case in enumerate(cases)]
        (self.folder / "cases.clp").write_text("\n".join(asserted) + "\n")
        for i, case in enumerate(cases):
            (self.folder / f"case-{i}.facts").write_text("\n".join(facts(case)) + "\n")

    def batch(self, lines):
        loads = ['(load "rules.clp")', '(load "cases.clp")', "(reset)"]
        (self.folder / "batch").write_text("\n".join(loads + lines + ["(exit)"]) + "\n")
        return ["clips", "-f2", "batch"]

    def answered(self, cases):
        """For each case what fired and the sums."""
        self.write(cases)
        lines = ["(watch rules)"]
        for i in range(len(cases)):
            lines += ['(printout t "case" crlf)', f'(load-facts "case-{i}.facts")',
                      "(run)", "(ranked TRUE)", "(reset)"]
        out = subprocess.run(self.batch(lines), check=True, capture_output=True, text=True, cwd=self.folder).stdout
        if wrong := re.search(r"^\[[A-Z]+\d+\].*", out, re.MULTILINE):
            sys.exit(f"CLIPS: {wrong[0]}")
        parts = out.split("\ncase\n")[1:]
        return [(re.findall(r"^FIRE +\d+ ([^:]+):", part, re.MULTILINE),
                 {cause: float(of) for cause, of in re.findall(r"^([a-z_\d]+) (-?[\d.e-]+)$", part, re.MULTILINE)})
                for part in parts]

    def seconds_a_case(self, each):
        """`each` is done for every case, {} being its number."""
        body = " ".join(f"{each.format(i)} (reset)" for i in range(CASES))
        go = f"(deffunction go (?times) (loop-for-count (?time 1 ?times) do {body}))"

        def took(times):
            command = self.batch([go, f"(go {times})"])
            with subprocess.Popen(command, cwd=self.folder, stdout=subprocess.DEVNULL) as run:
                _, status, used = os.wait4(run.pid, 0)
                run.returncode = os.waitstatus_to_exitcode(status)
            return used.ru_utime + used.ru_stime

        return (took(1 + TIMES) - took(1)) / (TIMES * CASES)


def check(clips, cases, what):
    for case, (fired, sums) in zip(cases, clips.answered(cases), strict=True):
        if sorted(fired) != sorted(case["true"]):
            sys.exit(f"{case['case']}: fired otherwise: {sorted(set(fired) ^ set(case['true']))}")
        off = [cause for cause, of in case["sums"].items() if abs(sums[cause] - of) > 1e-9]
        if off or sums.keys() != case["sums"].keys():
            sys.exit(f"{case['case']}: adds up otherwise: {off}")
    rules = sum(len(case["true"]) for case in cases) / len(cases)
    ever = len({rule for case in cases for rule in case["true"]})
    known = sum(len({of["fact"] for of in case["facts"]}) for case in cases) / len(cases)
    print(f"{len(cases)} {what} cases, {known:.0f} facts and {rules:.0f} true rules each, "
          f"{ever} rules in all: the same rules fire, the same sums")


def first(sums):
    return max((of, cause) for cause, of in sums.items() if of is not None)[1]


def tell_differences(cases):
    """What lies between plain sums and the weights of perrev, causes that are impossible aside."""
    apart = {kind: 0.0 for kind in ("normalised", "tied", "places", "computed")}
    count, never = 0, 0
    for case in cases:
        for cause, odds in case["odds"].items():
            if odds is None:
                never += 1
                continue
            count += 1
            parts = case["apart"][cause]
            if abs(case["sums"][cause] + sum(parts.values()) - odds) > 1e-9:
                sys.exit(f"{case['case']}: what is between the sum of {cause} and its weight is not accounted for")
            for kind in apart:
                apart[kind] += abs(parts[kind])
    same = sum(first(case["sums"]) == first(case["odds"]) for case in cases)
    print(f"Of {len(cases)} cases {same} have the same first single cause. Sums and weights are apart by, in decibans, mean of "
          f"the absolute: " + ", ".join(f"{kind} {DECIBANS * total / count:.1f}" for kind, total in apart.items())
          + f"; and {100 * never / (never + count):.0f} % of causes are impossible for what they need.")


def benchmarked(build, found):
    names = "^(rank_case|rank_case_rules_alone|single_causes|dense_case|json_to_json)$"
    told = subprocess.run([build / "tests/speed/perrev_speed", f"--benchmark_filter={names}", "--benchmark_format=json"],
                          check=True, capture_output=True, text=True)
    for row in json.loads(told.stdout)["benchmarks"]:
        if row.get("error_occurred"):
            sys.exit(f"{row['name']}: {row['error_message']}")
        found.setdefault(row["name"], []).append(row["cpu_time"] * 1e-6)
    return found


def measured(build, clips, rounds):
    found = {}
    for _ in range(rounds):
        benchmarked(build, found)
        for name, each in (("sums", "(case-{0}) (run) (sums)"), ("ranked", "(case-{0}) (run) (ranked FALSE)"),
                           ("file", '(load-facts "case-{0}.facts") (run) (ranked TRUE)')):
            found.setdefault(name, []).append(clips.seconds_a_case(each))
    return {name: min(seconds) for name, seconds in found.items()}


def tell_speeds(seconds):
    def rows(title, against, listed):
        print(f"\n{title:50} cases a second   times {against[1]}")
        for name, words in listed:
            ratio = seconds[against[0]] / seconds[name]
            print(f"  {words:48} {1 / seconds[name]:14.0f}   {ratio:.2f}")

    rows("Ranking alone, facts in memory", ("ranked", "CLIPS"),
         (("ranked", "CLIPS, single causes in order"), ("sums", "CLIPS, single causes in no order"),
          ("single_causes", "log_odds(), rules alone, single causes in order"),
          ("rank_case_rules_alone", "rank(), rules alone, over all pairs"),
          ("rank_case", "rank(), with what is computed too"), ("dense_case", "dense matrix, Eigen")))
    rows("Beside the dense matrix", ("dense_case", "the matrix"),
         (("rank_case_rules_alone", "rank(), rules alone"), ("rank_case", "rank(), with what is computed too")))
    rows("End to end", ("file", "CLIPS"),
         (("file", "CLIPS, facts from a file, causes printed"),
          ("json_to_json", "a line of JSON, rank(), three causes' evidence, JSON")))


def main():
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("build", type=Path)
    asked.add_argument("--check", action="store_true", help="time nothing")
    asked.add_argument("--rounds", type=int, default=3)
    options = asked.parse_args()
    build = options.build.resolve()
    with tempfile.TemporaryDirectory() as folder:
        clips = Clips(Path(folder), Rules(SOURCE / "rules", build / "src/perrev"))
        check(clips, told_cases(build, *sorted((SOURCE / "cases").glob("*.json"))), "reference")
        made_up = told_cases(build, str(CASES))
        check(clips, made_up, "made-up")
        tell_differences(made_up)
        if not options.check:
            tell_speeds(measured(build, clips, options.rounds))


if __name__ == "__main__":
    main()
