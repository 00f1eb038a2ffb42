# ruff: noqa: B019 -- one model lives as long as the test module
"""The localisation model once more: plain loops over the lexicon's files, no code in common.

Only power, sensation, reflexes, wasting, Horner's and upper motor neurone signs, percussion, and
signs of weakness are here; `chances` gives the probability of each site.
"""

import csv
import itertools
import math
import sys
from functools import cache
from pathlib import Path

from scipy.special import betainc
from scipy.stats import norm

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

ROOTS = ["C5", "C6", "C7", "C8", "T1"]
ORDER = ["XI", "C2", "C3", "C4", *ROOTS, "T2"]
GRADES = ["0", "1", "2-", "2", "2+", "3-", "3", "3+", "4-", "4", "4+", "5-", "5"]
GRID = [0, 0.01, 0.025, 0.045, 0.07, 0.1, 0.14, 0.18, 0.22, 0.27, 0.32, 0.37, 0.43, 0.49, 0.55]
GRID += [0.61, 0.67, 0.73, 0.79, 0.84, 0.88, 0.92, 0.95, 0.975, 0.99, 1.0]
DISPERSIONS = [0.015, 0.04, 0.08, 0.14, 0.22, 0.35]


def line(xs, ys, x):
    """Straight lines between points."""
    if x <= xs[0]:
        return ys[0]
    for (x0, y0), (x1, y1) in itertools.pairwise(zip(xs, ys, strict=True)):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return ys[-1]


class Plain:
    """The model of one lexicon folder; `wholes` maps a whole to its parts."""

    def __init__(self, folder: Path, wholes: dict[str, list[str]]) -> None:
        def table(name):
            with (folder / name).open(encoding="utf-8", newline="") as handle:
                return list(csv.DictReader(handle))

        self.m = tomllib.loads((folder / "likelihoods/model.toml").read_text(encoding="utf-8"))
        self.level = {r["segment_id"]: r["level"] for r in table("anatomy/segments.csv")}
        self.shares = {}
        for file, key in (("muscles", "muscle_id"), ("sensory", "area_id")):
            for r in table(f"anatomy/{file}.csv"):
                numbers = tuple(float(r[f"share_{k}"]) for k in ("low", "mid", "high"))
                self.shares.setdefault(r[key], {})[r["root"]] = numbers
        self.shares["eye"] = {k: (v, v, v) for k, v in self.m["horner"]["outflow"].items()}
        self.paths = {}
        for r in table("anatomy/paths.csv"):
            target = "eye" if r["target_type"] == "autonomic" else r["target_id"]
            segments = [s.strip() for s in r["chain"].split(">")][1:-1]
            self.paths.setdefault(target, []).append((r["root"], float(r["path_weight"]), segments))
        self.fibres = {s: set() for s in self.level}
        for paths in self.paths.values():
            for root, _, segments in paths:
                for s in segments:
                    self.fibres[s].add(root)
        self.readings = {}
        for r in table("anatomy/readings.csv"):
            read = self.readings.setdefault(r["reading"], {}).setdefault(r["muscle_id"], {})
            read[r["root"]] = float(r["share"])
        self.whole = {}
        for r in table("likelihoods/movements.csv"):
            self.whole.setdefault(r["movement"], {})[r["muscle"]] = float(r["weight"])
        for name, parts in wholes.items():
            self.whole[name] = {part: 1 / len(parts) for part in parts}
        self.segment_priors = table("likelihoods/segment_priors.csv")
        self.root_priors = table("likelihoods/root_priors.csv")
        self.root_patterns = table("likelihoods/root_patterns.csv")
        self.pair_priors = table("likelihoods/pair_priors.csv")
        self.signs = table("likelihoods/signs.csv")
        self.percussion = table("likelihoods/percussion.csv")
        self.ways = []  # (site, weight, lost, mode, severity, region, sensory)
        self.enumerate()

    def enumerate(self):
        c, x = self.m["classes"], self.m["extent"]
        self.ways.append(("none", c["none"], {}, "lower", 0, (), False))
        total = sum(float(r["weight"]) for r in self.segment_priors)
        for r in self.segment_priors:
            s, whole = r["segment_id"], float(r["complete"])
            w = c["segment"] * float(r["weight"]) / total
            self.ways.append((s, w * whole, {s: 1.0}, "lower", 0, (), False))
            for e in x["partial"]:
                part = w * (1 - whole) / len(x["partial"])
                self.ways.append((s, part, {s: e}, "lower", 0, (), False))
        total = sum(float(r["weight"]) for r in self.root_priors)
        for r in self.root_priors:
            first, last = r["first"].upper(), r["last"].upper()
            roots = ROOTS[ROOTS.index(first) : ROOTS.index(last) + 1]
            for names, chance in self.patterns(roots):
                w = c["roots"] * float(r["weight"]) / total * chance
                for extents, share in self.extents(len(roots)):
                    lost = dict(zip(names, extents, strict=True))
                    self.ways.append(("+".join(names), w * share, lost, "lower", 0, (), False))
        named = [(tuple(r["segments"].split("+")), float(r["weight"])) for r in self.pair_priors]
        known = [set(pair) for pair, _ in named]
        weight = {r["segment_id"]: float(r["weight"]) for r in self.segment_priors}
        other = []
        for a, b in itertools.combinations(self.m["other_pairs"]["segments"], 2):
            if {a, b} in known:
                continue
            runs = [p[2] for paths in self.paths.values() for p in paths]
            in_a, in_b = sum(a in s for s in runs), sum(b in s for s in runs)
            if sum(a in s and b in s for s in runs) < min(in_a, in_b):
                other.append(((a, b), weight[a] * weight[b]))
        for pairs, mass in ((named, c["pair"]), (other, c["other_pair"])):
            total = sum(w for _, w in pairs)
            for pair, w in pairs:
                for extents in itertools.product((1.0, x["pair_partial"]), repeat=len(pair)):
                    p = x["pair_complete"]
                    chance = math.prod(p if e == 1 else 1 - p for e in extents)
                    lost = dict(zip(pair, extents, strict=True))
                    share = mass * w / total * chance
                    self.ways.append(("+".join(pair), share, lost, "lower", 0, (), False))
        self.rivals()

    def rivals(self):
        c, i = self.m["classes"], self.m["inflammatory"]
        for size, name in enumerate(("one", "two", "three"), start=1):
            sets = list(itertools.combinations(i["nerves"], size))
            weights = [math.prod(i["nerves"][n] for n in chosen) for chosen in sets]
            for chosen, w in zip(sets, weights, strict=True):
                share = c["inflammatory"] * i[name] * w / sum(weights)
                for e in (1.0, *i["partial"]):
                    part = i["complete"] if e == 1 else (1 - i["complete"]) / len(i["partial"])
                    lost = dict.fromkeys(chosen, e)
                    self.ways.append(("inflammatory", share * part, lost, "lower", 0, (), False))
        grid = self.m["central"]["severity"]
        for severity, sensory in itertools.product(grid, (False, True)):
            w = c["central"] / len(grid) / 2
            self.ways.append(("central", w, {}, "upper", severity, (), sensory))
        pain = self.m["non_neurological"]
        chosen = [[name] for name in pain["regions"]] + [list(pain["regions"])]
        for names in chosen:
            for severity in pain["severity"]:
                region = tuple(m for name in names for m in pain["regions"][name])
                w = c["non_neurological"] / len(chosen) / len(pain["severity"])
                self.ways.append(("non_neurological", w, {}, "pain", severity, region, False))

    def patterns(self, roots):
        p = self.m["preganglionic"]
        published = {
            tuple(r["pattern"].split()): float(r["weight"])
            for r in self.root_patterns
            if (r["first"].upper(), r["last"].upper()) == (roots[0], roots[-1])
        }
        far = {r: r.lower() + ("_ramus_distal" if r < "C8" else "_ramus") for r in ROOTS}
        near = {r: r.lower() + ("_ramus_proximal" if r < "C8" else "_ramus") for r in ROOTS}
        made = []
        for pattern in itertools.product(("pre", "post"), repeat=len(roots)):
            w = math.prod(
                p[r] if s == "pre" else 1 - p[r] for r, s in zip(roots, pattern, strict=True)
            )
            for a, b in itertools.pairwise(pattern):
                w *= 1 if a == b else p["inversion"] if a == "pre" else p["change"]
            if published:
                w = published.get(pattern, w * p["unpublished"])
            names = [
                f"{r.lower()}_preganglionic" if s == "pre" else far[r]
                for r, s in zip(roots, pattern, strict=True)
            ]
            made.append((tuple(names), w))
        total = sum(w for _, w in made)
        behind = 1 - p["proximal_rupture"] - p["foraminal"]
        made = [(names, w / total * behind) for names, w in made]
        if any(near[r] != far[r] for r in roots):
            made.append((tuple(near[r] for r in roots), p["proximal_rupture"]))
        made.append((tuple(f"{r.lower()}_spinal_nerve" for r in roots), p["foraminal"]))
        total = sum(w for _, w in made)
        return [(names, w / total) for names, w in made]

    def extents(self, count):
        x = self.m["extent"]
        made = [((1.0,) * count, x["root_complete"])]
        for e in x["root_partial"]:
            made.append(((e,) * count, x["root_even_partial"] / len(x["root_partial"])))
        uneven = list(itertools.product((1.0, x["mixed_partial"]), repeat=count))
        uneven = [u for u in uneven if len(set(u)) > 1]
        rest = 1 - x["root_complete"] - x["root_even_partial"]
        return made + [(u, rest / len(uneven)) for u in uneven]

    @cache
    def share(self, target, towards):
        """Shares of the roots in one arrangement."""
        roots = sorted(self.shares[target], key=ORDER.index)
        if towards in self.readings:
            read = self.readings[towards].get(target)
            if read:
                return {root: read.get(root, 0.0) / sum(read.values()) for root in roots}
            towards = 0.0
        only = set(self.m["variants"]["prefixed_only"])
        prefixed = {r for r, _, s in self.paths[target] if only & set(s)}
        made = {}
        for at, root in enumerate(roots):
            low, mid, high = self.shares[target][root]
            pull = towards * (1 - 2 * at / (len(roots) - 1)) if len(roots) > 1 else 0
            made[root] = mid + pull * (high - mid if pull > 0 else mid - low)
            if root in prefixed:
                made[root] = high if towards > 0 else low
        return {root: value / sum(made.values()) for root, value in made.items()}

    def moments(self, target, way, towards):
        """Mean and variance of what survives of a muscle or skin area."""
        _, _, lost, mode, severity, region, sensory = way
        if mode != "lower":
            c = self.m["central"]
            mean = 1.0
            if mode == "upper" and target in self.muscles:
                mean = 1 - severity * c["loss"].get(target, c["default"])
            elif mode == "upper" and target in self.areas and sensory:
                mean = 1 - severity * c["sensory"]
            elif mode == "pain" and target in region:
                mean = 1 - severity
            return mean, mean * (1 - mean) * self.m["non_neurological"]["giving_way"]
        first = second = 0.0
        paths = self.paths[target]
        if towards == "crossing":
            towards, paths = 0.0, self.crossed(target)
        share = self.share(target, towards)
        for root, weight, segments in paths:
            kept = math.prod(1 - lost.get(s, 0) for s in segments)
            first += share[root] * weight * kept
            second += share[root] * weight * kept * kept
        numbers = self.shares[target].values()
        width = self.m["extent"]["range_deviations"]
        spread = sum(((high - low) / width) ** 2 for low, _, high in numbers)
        room = sum(mid * (1 - mid) for _, mid, _ in numbers)
        tilt = min(spread / room, 0.5) if room > 0 else 0
        uneven = self.m["extent"]["unevenness"]
        variance = (second - first * first) * tilt + (first - second) * uneven
        twig = self.m["second_nerve"].get(target)
        if twig:
            # Limbs with the twig survive by `apart / present` better than those without.
            apart = 0.0
            for root, weight, segments in paths:
                if twig["through"] in segments:
                    (main,) = (s for r, _, s in paths if r == root and twig["through"] not in s)
                    routes = [math.prod(1 - lost.get(x, 0) for x in s) for s in (segments, main)]
                    apart += share[root] * weight * (routes[0] - routes[1])
            p = twig["present"]
            variance += p * (1 - p) * (apart / p) ** 2
        return first, variance

    @cache
    def crossed(self, target):
        """Paths where part of the ulnar fibres runs in the median nerve down to the forearm."""
        m = self.m["crossing"]
        made = []
        for root, weight, segments in self.paths[target]:
            run = "/".join(segments)
            leaves, takes = "/".join(m["leaves"]), "/".join(m["takes"])
            if target in m["targets"] and root in ("C8", "T1") and leaves in run:
                made.append((root, weight * (1 - m["share"]), segments))
                detour = run.replace(leaves, takes).split("/")
                made.append((root, weight * m["share"], detour))
            else:
                made.append((root, weight, segments))
        return made

    @property
    def areas(self):
        return {t for t in self.shares if t not in self.muscles and t != "eye"}

    @property
    def muscles(self):
        return {t for t in self.shares if any(t == m for m in self.muscle_ids)}

    muscle_ids: tuple[str, ...] = ()

    @cache
    def concerned(self, target):
        """Segments that any path of a target runs through."""
        parts = self.whole.get(target, [target])
        runs = [p[2] for part in parts for p in [*self.paths[part], *self.crossed(part)]]
        return {segment for run in runs for segment in run}

    def about(self, target, way, towards):
        """The same for the same loss on the way to a target, so that it is reckoned once."""
        lost = tuple((s, e) for s, e in way[2].items() if s in self.concerned(target))
        return self.about_lost(target, lost, way[3:], towards)

    @cache
    def about_lost(self, target, lost, rest, towards):
        """Mean and variance of a muscle, area, movement or whole."""
        way = ("", 0, dict(lost), *rest)
        if target not in self.whole:
            return self.moments(target, way, towards)
        mean = variance = 0.0
        for part, weight in self.whole[target].items():
            m, v = self.moments(part, way, towards)
            mean, variance = mean + weight * m, variance + weight * v
        return mean, variance

    @cache
    def spread(self, row, column):
        """Probability of each cell for a rounded mean (in 64ths) and dispersion."""
        if row in (0, 64):
            return [
                1.0 if at == (0 if row == 0 else len(GRID) - 1) else 0.0 for at in range(len(GRID))
            ]
        size = 1 / DISPERSIONS[column] - 1
        edges = [(a + b) / 2 for a, b in itertools.pairwise(GRID)]
        below = [0.0, *(betainc(row / 64 * size, (1 - row / 64) * size, e) for e in edges), 1.0]
        return [b - a for a, b in itertools.pairwise(below)]

    def rounded(self, mean, variance):
        mean = 1.0 if abs(mean - 1) < 1e-9 else min(max(mean, 0.0), 1.0)
        room = mean * (1 - mean)
        dispersion = max(variance, 0) / room if room > 1e-9 else 0
        edges = [(a + b) / 2 for a, b in itertools.pairwise(DISPERSIONS)]
        column = sum(dispersion > edge for edge in edges)
        row = math.floor(mean * 64 + 0.5)
        if row == 0 and mean > 1e-6:
            row = 1
        if row == 64 and mean < 1 - 1e-6:
            row = 63
        return row, column

    @cache
    def chance(self, kind, value, mode, cell):
        """Probability of a value given what survives."""
        s = GRID[cell]
        if kind == "power":
            m = self.m["power"]
            place = line(m["surviving"], m["position"], s)
            noise = line(m["surviving"], m["spread"], s) * m["reserve"]
            cuts = [-math.inf, *m["boundaries"], math.inf]
            at = GRADES.index(value)
            inside = norm.cdf((cuts[at + 1] - place) / noise) - norm.cdf((cuts[at] - place) / noise)
            whole = [g.rstrip("+-") for g in GRADES]
            # 2- rounds to two, 5- to five.
            flat = 1 / 6 / whole.count(value.rstrip("+-"))
            return (1 - m["outlier"]) * inside + m["outlier"] * flat
        if kind == "sensation":
            m = self.m["sensation"]
            place = line(m["surviving"], m["position"], s)
            noise = line(m["surviving"], m["spread"], s) * m["reserve"]
            at = int(value)
            cuts = [-math.inf, m["absent_below"], *(n + 0.5 for n in range(1, 9))]
            cuts += [m["normal_above"], math.inf]
            inside = norm.cdf((cuts[at + 1] - place) / noise) - norm.cdf((cuts[at] - place) / noise)
            flat = [0.12, *[0.07] * 9, 0.25][at]
            return (1 - m["outlier"]) * inside + m["outlier"] * flat
        if kind == "reflex":
            m = self.m["reflex"]
            if mode == "upper":
                three = {k: m["upper_motor_neurone"][k] for k in ("absent", "reduced", "brisk")}
            else:
                arc = s * s if mode == "lower" else 1.0
                keys = ("absent", "reduced", "brisk")
                three = {k: line(m["surviving"], m[k], arc) for k in keys}
            three["normal"] = 1 - sum(three.values())
            seen = {k: (1 - m["outlier"]) * v + m["outlier"] / 4 for k, v in three.items()}
            whole = sum(v ** (1 / m["reserve"]) for v in seen.values())
            return seen[value] ** (1 / m["reserve"]) / whole
        m = self.m["wasting"]
        due = m["unknown_interval"]
        healthy = m["present"][-1]
        here = line(m["surviving"], m["present"], s) if mode == "lower" else healthy
        present = due * here + (1 - due) * healthy
        inside = present if value == "present" else 1 - present
        return (1 - m["outlier"]) * inside + m["outlier"] / 2

    def worst(self, lost, wanted):
        return max([lost.get(s, 0.0) for s in wanted], default=0.0)

    def sign(self, name, way, towards):
        """Probability that a sign of weakness is present."""
        m = self.m["signs"]
        factor = {"lower": 1, "upper": m["central_factor"], "pain": m["pain_factor"]}[way[3]]
        clear, base = 1.0, 0.0
        for r in self.signs:
            if r["item"] != name:
                continue
            base = float(r["baseline"])
            kind, *names = r["cause"].split(":")
            if kind in ("loss", "both", "movement"):
                loss = 1.0
                for target in names:
                    loss *= 1 - self.about(target, way, towards)[0]
                weight = max(loss, 0) ** m["steepness"] * factor
            elif kind == "hemi":
                loss = 1 - self.about(names[0], way, towards)[0]
                weight = min(1, loss * m["phrenic_gain"]) * factor
            elif kind == "pre":
                roots = {"any": ROOTS, "upper": ROOTS[:3], "lower": ROOTS[2:]}[names[0]]
                weight = self.worst(way[2], [f"{root.lower()}_preganglionic" for root in roots])
            elif names == ["supraclavicular"]:
                levels = ("preganglionic", "spinal_nerve_postganglionic", "ventral_ramus", "trunk")
                weight = self.worst(way[2], [s for s in self.level if self.level[s] in levels])
            else:
                weight = self.worst(way[2], list(self.level))
            clear *= 1 - float(r["probability"]) * weight
        chance = 1 - (1 - base) * clear
        return chance if name in m["on_images"] else self.doubted(chance)

    def percussed(self, place, lost):
        clear, base = 1.0, 0.0
        for r in self.percussion:
            if r["place"] == place:
                base = float(r["baseline"])
                e = lost.get(r["segment"], 0.0)
                clear *= 1 - float(r["probability"]) * (0.5 + 0.5 * e if e > 0 else 0)
        return self.doubted(1 - (1 - base) * clear)

    def doubted(self, chance):
        """A chance whose log odds are divided by the reserve of signs."""
        if chance in (0, 1):
            return chance
        odds = math.log(chance / (1 - chance)) / self.m["signs"]["reserve"]
        return 1 / (1 + math.exp(-odds))

    def hidden(self, fact, way, towards):
        lost, mode = way[2], way[3]
        if fact == "horner":
            m = self.m["horner"]
            if mode == "upper":
                return m["interruption"]["central"]
            loss = 1 - self.moments("eye", way, towards)[0] if mode == "lower" else 0.0
            base, full = m["interruption"]["base"], m["interruption"]["complete"]
            return base + (full - base) * min(1, loss / max(m["outflow"].values()))
        m = self.m["cord"]
        base = m["if_central"] if mode == "upper" else m["otherwise"]
        torn = sum(lost.get(f"{root.lower()}_preganglionic", 0.0) for root in ROOTS)
        return base + m["if_preganglionic"] * torn

    def chances(self, findings):
        """Probability of each site after (item, value) findings."""
        sites = {}
        total = sum(way[1] for way in self.ways)
        v = self.m["variants"]
        arrangements = {"usual": 0.0, "prefixed": v["shift"], "postfixed": -v["shift"]}
        arrangements["crossing"] = "crossing"
        v = v | v["readings"]
        arrangements |= {name: name for name in v["readings"]}
        chance = sum(v[name] for name in arrangements)
        for name, towards in arrangements.items():
            for way in self.ways:
                weight = way[1] / total * v[name] / chance
                weight *= self.likelihood(findings, way, towards)
                sites[way[0]] = sites.get(way[0], 0.0) + weight
        whole = sum(sites.values())
        return {site: weight / whole for site, weight in sites.items()}

    def likelihood(self, findings, way, towards):
        by_target, facts, product = {}, {}, 1.0
        reflexes = self.m["reflex"]["targets"]
        for item, value in findings:
            kind, _, name = item.partition(".")
            if name in self.m["horner"]["if_interrupted"] and kind == "sign":
                facts.setdefault("horner", []).append((name, value))
            elif name in self.m["cord"]["if_injured"] and kind == "sign":
                facts.setdefault("cord", []).append((name, value))
            elif name.startswith("percussion."):
                p = self.percussed(name.removeprefix("percussion."), way[2])
                product *= p if value == "present" else 1 - p
            elif kind in ("sign", "posture"):
                p = self.sign(item, way, towards)
                product *= p if value == "present" else 1 - p
            elif kind == "sensation":
                area = name if name in self.shares else f"dermatome_{name}_point"
                by_target.setdefault(area, []).append((kind, value))
            else:
                target = reflexes[name] if kind == "reflex" else name
                by_target.setdefault(target, []).append((kind, value))
        for target, values in by_target.items():
            row, column = self.rounded(*self.about(target, way, towards))
            product *= self.summed(tuple(values), way[3], row, column)
        for fact, values in facts.items():
            so = otherwise = 1.0
            keys = (
                ("if_interrupted", "otherwise")
                if fact == "horner"
                else ("if_injured", "otherwise_signs")
            )
            for name, value in values:
                yes, no = (self.doubted(self.m[fact][key][name]) for key in keys)
                so *= yes if value == "present" else 1 - yes
                otherwise *= no if value == "present" else 1 - no
            p = self.hidden(fact, way, towards)
            product *= p * so + (1 - p) * otherwise
        return product

    @cache
    def summed(self, values, mode, row, column):
        result = 0.0
        for cell, mass in enumerate(self.spread(row, column)):
            inside = mass
            for kind, value in values:
                inside *= self.chance(kind, value, mode, cell)
            result += inside
        return result
