#!/usr/bin/env python3
"""The law "moving the whole region in longitude, variation aside, changes no distance", through the program.

    shifted_region_test.py OMNIWAY DEMO_REGION

The generator moves its rows, ground and coast east and leaves courses, declinations and variations; the program's own
variation (of today, by its model) is another one there. So every true direction, distance, radial, reading, altitude and time must be
the same; magnetic courses and headings turn by the difference of the variations printed beside them, and nothing else does.
"""
import collections
import json
import math
import re
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from demo_region_door import AIRPORTS, PAIRS, import_region, plan, plans

# -9 puts the antimeridian through the middle of the country, +173 the meridian of Greenwich; +30 is for the variation's sake.
EAST = (-9, 30, 173)
AIRCRAFT_AND_WIND = (("single", "270/20"), ("trainer", "100/08"))
# The trainer reaches only the two airports that have an approach without DME or ADF; other pairs are refused alike.
TRAINER_GOES_TO = ("XKEL", "XNOR")

# One unit of the last printed digit, for values that stood at its edge (rows are rounded to 0.01 seconds, 0.17 m).
TOLERANCE = {"_per_min": 10.0, "_nm": 0.0011, "_min": 0.011, "_kt": 0.11, "_ft": 1.0, "_lb": 0.11, "_deg": 0.011}
# A card holds what paper holds: whole degrees, knots and seconds, tenths of a mile.
ON_THE_CARD = {"_per_min": 10.0, "_nm": 0.11, "_min": 0.11, "_kt": 1.0, "_ft": 1.0, "_lb": 1.0, "_deg": 1.01, "_s": 1.0}
PLACE_DEG = 3e-7  # of latitude and longitude, printed to 1e-7
TURNED_DEG = 0.021  # magnetic values: two roundings of 0.01
CARD_TURNED_DEG = 1.02  # two roundings of a whole degree
LEVEL = re.compile(r"\d+ ft")
REFUSED_LEVEL_FT = 10000  # within the trainer's ceiling
# A course in the words of a step is rounded to a whole degree and may be one counted from today's north.
WORDED_COURSE = re.compile(r"track \d{3} magnetic")
# The headings of a procedure turn are the chart's own, whatever the variation is today.
CHARTED = ("away_heading_magnetic_deg", "return_heading_magnetic_deg")
# On the card every figure of its words stands beside them as a number.
FIGURES = re.compile(r"\d[\d,.:]*")


def turn(first: float, second: float) -> float:
    return (second - first + 180.0) % 360.0 - 180.0


class Comparison:
    """Two plans, value by value; the faults are the places that differ."""

    def __init__(self, east_deg: int):
        self.east_deg = east_deg
        self.faults, self.compared = [], collections.Counter()
        self.largest_turn_deg = 0.0

    def walk(self, here, there, where: str) -> None:
        if isinstance(here, dict) and isinstance(there, dict):
            if set(here) != set(there):
                self.faults.append(f"{where}: {sorted(here)} became {sorted(there)}")
                return
            for name, value in here.items():
                place = f"{where}.{name}"
                if name.endswith("_magnetic_deg") and name not in CHARTED and value is not None:
                    self.turned(here, there, name, place)
                elif name == "pointer_deg" and value is not None:
                    self.pointer(here, there, place)
                elif name == "variation_east_deg":
                    self.largest_turn_deg = max(self.largest_turn_deg, abs(turn(value, there[name])))
                elif name != "sources":
                    self.walk(value, there[name], place)
        elif isinstance(here, list) and isinstance(there, list):
            if len(here) != len(there):
                self.faults.append(f"{where}: {len(here)} became {len(there)}")
            for index, (one, other) in enumerate(zip(here, there)):
                self.walk(one, other, f"{where}[{index}]")
        elif isinstance(here, (int, float)) and isinstance(there, (int, float)):
            self.number(here, there, where)
        else:
            self.compared["words"] += 1
            words = FIGURES if self.on_card(where) else WORDED_COURSE
            one, other = (words.sub("track", text) if isinstance(text, str) else text for text in (here, there))
            if one != other:
                self.faults.append(f"{where}: {here!r} became {there!r}")

    def number(self, here, there, where: str) -> None:
        name = where.rsplit(".", 1)[-1].split("[")[0]
        if name == "longitude_deg":
            wrong = abs(turn(here + self.east_deg, there)) > PLACE_DEG
        elif name == "latitude_deg":
            wrong = abs(there - here) > PLACE_DEG
        elif name.endswith("_deg"):
            wrong = abs(turn(here, there)) > (ON_THE_CARD if self.on_card(where) else TOLERANCE)["_deg"]
        else:
            tolerance = ON_THE_CARD if self.on_card(where) else TOLERANCE
            allowed = [tolerance[unit] for unit in tolerance if name.endswith(unit)]
            wrong = abs(there - here) > (allowed[0] if allowed else 0)
        self.compared[name] += 1
        if wrong:
            self.faults.append(f"{where}: {here} became {there}")

    def turned(self, here: dict, there: dict, name: str, where: str) -> None:
        self.compared[name] += 1
        expected = turn(there["variation_east_deg"], here["variation_east_deg"])
        allowed = CARD_TURNED_DEG if self.on_card(where) else TURNED_DEG
        if there[name] is None or abs(turn(expected, turn(here[name], there[name]))) > allowed:
            self.faults.append(f"{where}: {here[name]} became {there[name]}, variation turned by {expected:.2f}")

    def pointer(self, here: dict, there: dict, where: str) -> None:
        """A pointer on a card that is turned to the heading shows a magnetic bearing, on a fixed one a relative bearing."""
        if abs(turn(here["pointer_deg"], there["pointer_deg"])) > ON_THE_CARD["_deg"]:
            self.turned(here, there, "pointer_deg", where)
        else:
            self.compared["pointer_deg"] += 1

    @staticmethod
    def on_card(where: str) -> bool:
        return where.startswith(".flight.card")


def with_variations(answer: dict) -> dict:
    """The same, with the variation of each step of the flight beside each figure of that step of its card, which has none."""
    flight = answer["flight"]
    if flight is None:
        return answer

    def beside(value, variation):
        if isinstance(value, dict):
            return {name: beside(each, variation) for name, each in value.items()} | {"variation_east_deg": variation}
        return [beside(each, variation) for each in value] if isinstance(value, list) else value

    variations = {step["number"]: step["variation_east_deg"] for step in flight["steps"] + (flight["missed_approach"] or [])}
    first = flight["steps"][0]["variation_east_deg"]
    card = dict(flight["card"])
    for name, value in card.items():
        card[name] = ([beside(step, variations[step["number"]]) for step in value] if name in ("steps", "missed")
                      else beside(value, first))
    return answer | {"flight": flight | {"card": card}}


def magnetic_course(answer: dict) -> float:
    """From airport to airport by the sphere, within a third of a degree; the variation is that of the first step."""
    one, other = ({key: math.radians(value) for key, value in answer[end]["place"].items()} for end in ("from", "to"))
    east = other["longitude_deg"] - one["longitude_deg"]
    true = math.atan2(
        math.sin(east) * math.cos(other["latitude_deg"]),
        math.cos(one["latitude_deg"]) * math.sin(other["latitude_deg"])
        - math.sin(one["latitude_deg"]) * math.cos(other["latitude_deg"]) * math.cos(east))
    return (math.degrees(true) - answer["flight"]["steps"][0]["variation_east_deg"]) % 360.0


class ShiftedRegion(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.atlas = {}
        for east in (0, *EAST):
            cls.atlas[east] = Path(cls.folder.name) / f"{east}.atlas"
            import_region(DEMO_REGION, OMNIWAY, Path(cls.folder.name) / str(east), cls.atlas[east], east)
        # Each airport to the next, the third and the fourth after it: 24 of the 56 pairs, both ways across the country.
        count = len(AIRPORTS)
        among = [(a, b) for a, b in PAIRS if a in AIRPORTS and b in AIRPORTS]
        chosen = [(a, b) for a, b in among if (AIRPORTS.index(b) - AIRPORTS.index(a)) % count in (1, 3, 4)]
        cls.questions = [(*pair, "--aircraft", aircraft, "--wind", wind) for aircraft, wind in AIRCRAFT_AND_WIND
                         for pair in (chosen if aircraft != "trainer"
                                      else [p for p in among if p[1] in TRAINER_GOES_TO])]
        cls.first = plans(OMNIWAY, [(cls.atlas[0], question) for question in cls.questions])

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_there_is_something_to_compare(self):
        flown = collections.Counter(question[3] for question, answer in zip(self.questions, self.first)
                                    if answer["flight"] is not None)
        print(f"flights: {dict(flown)} of {len(self.questions)} questions")
        self.assertGreaterEqual(flown["single"], 20)
        self.assertGreaterEqual(flown["trainer"], 8)

    def another_level(self, here: dict, there: dict) -> int | None:
        """The level to ask for in both where the semicircular rule, which counts from magnetic north, chose two others."""
        if here["flight"] is None:
            self.assertIsNone(there["flight"])
            levels = [{text for each in answer["refused"] for text in LEVEL.findall(each["text"])}
                      for answer in (here, there)]
            return None if levels[0] == levels[1] else REFUSED_LEVEL_FT
        if there["flight"]["cruise_altitude_msl_ft"] == here["flight"]["cruise_altitude_msl_ft"]:
            return None
        self.assertNotEqual(magnetic_course(here) < 180.0, magnetic_course(there) < 180.0)
        return round(here["flight"]["cruise_altitude_msl_ft"])

    @staticmethod
    def without_the_rule(answer: dict) -> dict:
        return answer | {"routes_considered": 0, "findings": [each for each in answer["findings"]
                                                              if each["code"] != "altitude.semicircular"]}

    def plan_at(self, level_ft: int, atlas: Path, question) -> dict:
        answer = plan(OMNIWAY, atlas, *question, "--altitude", level_ft)
        answer["findings"] = [each for each in answer["findings"] if each["code"] != "altitude.semicircular"]
        return answer

    def test_nothing_but_the_variation_changes(self):
        for east in EAST:
            moved = plans(OMNIWAY, [(self.atlas[east], question) for question in self.questions])
            comparison, other_levels = Comparison(east), 0
            for question, here, there in zip(self.questions, self.first, moved):
                with self.subTest(east=east, question=" ".join(question)):
                    self.assertEqual(there["verdict"], here["verdict"])
                    level = self.another_level(here, there)
                    if level is not None:
                        other_levels += 1
                        here, there = (self.plan_at(level, self.atlas[at], question) for at in (0, east))
                    elif (magnetic_course(here) < 180.0) != (magnetic_course(there) < 180.0):
                        # The same level, tried first here and second there.
                        here, there = (self.without_the_rule(answer) for answer in (here, there))
                    comparison.faults = []
                    comparison.walk(with_variations(here), with_variations(there), "")
                    self.assertEqual(comparison.faults, [])
            numbers = sum(comparison.compared.values()) - comparison.compared["words"]
            print(f"{east:+} degrees: {len(self.questions)} plans, {numbers} numbers the same "
                  f"({comparison.compared['distance_nm']} distances), variation turned by up to "
                  f"{comparison.largest_turn_deg:.1f} degrees, another level by the semicircular rule {other_levels} times")
            self.assertGreater(comparison.compared["distance_nm"], 300)
            self.assertGreater(comparison.largest_turn_deg, 2.0)
            self.assertLessEqual(other_levels, 4)

    def test_the_ground_moves_with_the_country(self):
        def ground(east):
            command = [OMNIWAY, "atlas", "info", "--json", self.atlas[east]]
            return json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)

        here = ground(0)
        self.assertGreater(here["terrain"]["tiles"], 700)
        for east in EAST:
            there = ground(east)
            for name in ("tiles", "nodes", "unknown_nodes"):
                self.assertEqual(there["terrain"][name], here["terrain"][name], f"{name} {east:+}")
            # The great island is cut in two where it lies across the antimeridian.
            self.assertEqual(there["coastlines"], here["coastlines"] + (1 if east == -9 else 0))

    def test_the_moved_country_lies_across_the_antimeridian(self):
        longitudes = [plan(OMNIWAY, self.atlas[-9], "XMRA", "XPIR")[end]["place"]["longitude_deg"] for end in ("from", "to")]
        self.assertGreater(longitudes[0], 0)
        self.assertLess(longitudes[1], 0)


if __name__ == "__main__":
    OMNIWAY, DEMO_REGION = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    unittest.main(argv=sys.argv[:1] + sys.argv[3:])
