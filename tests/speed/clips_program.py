"""A rule base as a program of CLIPS, a general-purpose rule engine, and cases as facts of it.

A fact of the case is an ordered fact of its own relation: (f:worst_speed 27.7), in SI, (f:felt_at seat yes),
one for each answer of a fact of kind several, (f:tire_runout left_front bad). A rule of the rule base is one
rule: when it holds somewhere, it fires once and adds the logarithm of its strength to the sum of each cause
it names. Sums begin with the priors. Nothing is normalised, paired, computed or explained.

Conditions and strengths are read from YAML here, apart from the program's own loader; which members of a
family a rule speaks of is what `perrev rules explain` tells of it.
"""

import json
import math
import re
import subprocess
from pathlib import Path

import yaml

IN_SI = {"mph": 0.44704, "km/h": 1 / 3.6, "rpm": 1 / 60, "Hz": 1.0}
RANGE = re.compile(r"(\d*)\D*\.\.(\d*) ?\D*")  # 15..30 mph, ..15 mph, 80 mph..


def read(path):
    return yaml.load(path.read_text(), Loader=yaml.BaseLoader)  # everything stays text: no is not false


class Rules:
    def __init__(self, folder, perrev):
        self.folder, self.perrev = Path(folder), perrev
        self.facts = read(self.folder / "facts.yaml")
        self.limited = read(self.folder / "limits.yaml").keys()
        self.families = read(self.folder / "families.yaml").keys()
        words = read(self.folder / "strengths.yaml")
        self.strengths, self.shares = words["strengths"], words["shares"]
        self.usual_words = words["usual_words"]
        self.causes = self.merged("causes")
        self.rules = [rule for path in sorted((self.folder / "evidence").glob("*.yaml")) for rule in read(path)]

    def merged(self, folder):
        return {name: of for path in sorted((self.folder / folder).glob("*.yaml")) for name, of in read(path).items()}

    def priors(self):
        usual = {name: float(self.usual_words.get(of["usual"], of["usual"])) for name, of in self.causes.items()}
        share = 1 - float(self.shares["not_listed"]) - float(self.shares["pairs"])
        return {name: math.log(share * often / sum(usual.values())) for name, often in usual.items()}

    def effects(self, rule):
        """Natural logarithm of the strength, by cause."""
        named = [(cause, side, word) for side in ("for", "against") for cause, word in rule.get(side, {}).items()]
        if any(name in self.families for name, _, _ in named):
            told = subprocess.run([self.perrev, "rules", "explain", rule["rule"], "--json", "--rules", self.folder],
                                  check=True, capture_output=True, text=True).stdout
            effects = next(of for of in json.loads(told)["explained"] if of["kind"] == "rule")["effects"]
            named = [(of["cause"], of["side"], of["strength"]) for of in effects]
        return {cause: math.log(float(self.strengths.get(word, word))) * (1 if side == "for" else -1)
                for cause, side, word in named if cause in self.causes}

    def pattern(self, fact, values, negated):
        of = self.facts[fact]
        place = " ?place" if "per" in of else ""
        either = "|".join(values)
        if of["kind"] == "several":
            return f"(f:{fact}{place} {either} {'no' if negated else 'yes'})"
        if of["kind"] != "number" or fact in self.limited:
            return f"(f:{fact}{place} {'~' + '&~'.join(values) if negated else either})"
        tests = []
        for value in values:
            low, high = RANGE.fullmatch(value).groups()
            unit = value.split()[-1].strip(".")
            ends = ([f"(>= ?x {float(low) * IN_SI[unit]!r})"] if low else []) + (
                [f"(< ?x {float(high) * IN_SI[unit]!r})"] if high else [])
            tests.append(ends[0] if len(ends) == 1 else f"(and {' '.join(ends)})")
        test = tests[0] if len(tests) == 1 else f"(or {' '.join(tests)})"
        return f"(f:{fact}{place} ?x&:{f'(not {test})' if negated else test})"

    def condition(self, when, negated=False):
        """As patterns; what is not known is neither true nor false, so `not` goes down to the values."""
        parts, both = [], not negated
        for key, inside in when.items():
            if key == "not":
                parts.append(self.condition(inside, not negated))
            elif key in ("any", "all"):
                inner = [self.condition(part, negated) for part in inside]
                parts.append(f"({'and' if (key == 'all') == both else 'or'} {' '.join(inner)})")
            else:
                values = [inside] if isinstance(inside, str) else inside
                if negated and self.facts[key]["kind"] == "several" and len(values) > 1:
                    parts.append(f"(and {' '.join(self.pattern(key, [value], True) for value in values)})")
                else:
                    parts.append(self.pattern(key, values, negated))
        return parts[0] if len(parts) == 1 else f"({'and' if both else 'or'} {' '.join(parts)})"

    def once(self, when):
        """Whether it can hold in one way only, so that it need not be asked whether it holds in any."""
        return all(key not in ("any", "all", "not") and "per" not in self.facts[key]
                   and (self.facts[key]["kind"] != "several" or isinstance(inside, str))
                   for key, inside in when.items())


def program(rules):
    """Rules, sums, and (ranked TRUE), which prints causes, the highest sum first; (ranked FALSE) only finds them."""
    lines = [f"(defglobal ?*{cause}* = {prior!r})" for cause, prior in rules.priors().items()]
    for rule in rules.rules:
        when = rules.condition(rule["when"])
        if not rules.once(rule["when"]):
            when = f"(exists {when})"
        elif when.startswith("(and "):
            when = when[5:-1]
        adds = "\n  ".join(f"(bind ?*{cause}* (+ ?*{cause}* {weight!r}))" for cause, weight in rules.effects(rule).items())
        lines.append(f"(defrule {rule['rule']} {when} =>\n  {adds})")
    sums = " ".join(f"?*{cause}*" for cause in rules.causes)
    lines.append(f"""(defglobal ?*names* = (create$ {' '.join(rules.causes)}))
(deffunction sums () (create$ {sums}))
(deffunction ranked (?printed)
  (bind ?sums (sums))
  (bind ?last none)
  (progn$ (?sum (sort < ?sums))
    (if (eq ?sum ?last)
      then (bind ?at (+ ?at (member$ ?sum (subseq$ ?sums (+ ?at 1) {len(rules.causes)}))))
      else (bind ?at (member$ ?sum ?sums)))
    (bind ?last ?sum)
    (bind ?cause (nth$ ?at ?*names*))
    (if ?printed then (printout t ?cause " " ?sum crlf))))""")
    return "\n".join(lines) + "\n"


def facts(case):
    """The facts of a case, as perrev_told_cases tells them."""
    out = []
    for said in case["facts"]:
        head = f"(f:{said['fact']}" + (f" {said['place']}" if said["place"] else "")
        if isinstance(said["value"], dict):
            out += [f"{head} {answer} {'yes' if ticked else 'no'})" for answer, ticked in said["value"].items()]
        else:
            out.append(f"{head} {said['value']})")
    return out
