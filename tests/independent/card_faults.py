"""Faults to plant in a card that is otherwise good: each changes as little as such a mistake would, and names the checks that find it.

A fault takes a case (the plan with flight.card, and the atlas it was made from), changes its plan and returns nothing; it raises
NotHere where the card has no place for it.
"""
import copy
import math
import sqlite3


class NotHere(Exception):
    """The card has nothing that this fault could be planted in."""


def apart(a: float, b: float) -> float:
    return (a - b + 180) % 360 - 180


def line(a: dict, b: dict) -> tuple[float, float, float]:
    """NM and true courses at both ends on a sphere: within a tenth of a degree of the geodesic at some ten miles."""
    p, q, r, s = (math.radians(x) for x in (a["latitude_deg"], a["longitude_deg"], b["latitude_deg"], b["longitude_deg"]))
    haversine = math.sin((r - p) / 2) ** 2 + math.cos(p) * math.cos(r) * math.sin((s - q) / 2) ** 2

    def out(p, q, r, s):
        across = math.sin(s - q) * math.cos(r)
        return math.degrees(math.atan2(across, math.cos(p) * math.sin(r) - math.sin(p) * math.cos(r) * math.cos(s - q))) % 360

    return 2 * 3440.065 * math.asin(math.sqrt(haversine)), out(p, q, r, s), (out(r, s, p, q) + 180) % 360


class Case:
    def __init__(self, name: str, plan: dict, atlas, equipment: dict):
        self.name, self.plan, self.atlas, self.equipment = name, copy.deepcopy(plan), atlas, equipment
        self.card = self.plan["flight"]["card"]
        self.tracks = {t["number"]: t for t in self.plan["flight"]["steps"] + self.plan["flight"]["missed_approach"]}

    def all_steps(self) -> list[dict]:
        return self.card["steps"] + self.card["missed"]

    def step(self, wanted) -> dict:
        for step in self.all_steps():
            if wanted(step):
                return step
        raise NotHere

    def track(self, step: dict) -> dict:
        return self.tracks[step["number"]]

    def ends_at(self, step: dict) -> float:
        """Seconds from lining up to the end of a step."""
        return sum((t["time_min"] or 0) * 60 for n, t in self.tracks.items() if n <= step["number"])

    def rows(self, question: str, *words) -> list[dict]:
        with sqlite3.connect(f"file:{self.atlas}?immutable=1", uri=True) as file:
            file.row_factory = sqlite3.Row
            return [dict(row) for row in file.execute(question, words)]

    def station(self, aid: dict) -> dict:
        family = "ndb" if aid["kind"].startswith("NDB") else "localizer" if "frequency_mhz" in aid and aid["kind"][:3] in (
            "ILS", "LOC", "LDA", "SDF") else "vor"
        rows = self.rows("SELECT * FROM station WHERE ident = ? AND azimuth = ?", aid["ident"], family)
        if not rows:
            raise NotHere
        return rows[0]

    def declination(self, aid: dict) -> float:
        return math.degrees(self.station(aid)["declination_east_rad"])

    def work(self, kind: str, wanted=lambda step, work: True) -> tuple[dict, dict]:
        for step in self.all_steps():
            for work in step["work"]:
                if work["kind"] == kind and wanted(step, work):
                    return step, work
        raise NotHere


MORSE = dict(zip("ABCDEFGHIJKLMNOPQRSTUVWXYZ", ".- -... -.-. -.. . ..-. --. .... .. .--- -.- .-.. -- -. --- .--. --.- .-. ... - ..- "
                 "...- .-- -..- -.-- --..".split()))


def aid_of(row: dict) -> dict:
    return {"ident": row["ident"], "kind": "VOR/DME" if row["dme_latitude_deg"] is not None else "VOR",
            "frequency_mhz": round(row["frequency_hz"] / 1e6, 2), "morse": " ".join(MORSE[c] for c in row["ident"])}


def site_of(row: dict) -> dict:
    return {"latitude_deg": row["azimuth_latitude_deg"], "longitude_deg": row["azimuth_longitude_deg"]}


def by_radial(step: dict) -> bool:
    return step["guidance"]["kind"] == "follow_radial" and step["expected"]["distance_nm"] > 5 and \
        step["end"]["kind"] != "held_until"


def by_reading(step: dict) -> bool:
    return step["end"]["kind"] == "reading_reached"


# Courses and headings.

def true_course_for_magnetic(case: Case) -> None:
    step = case.step(by_radial)
    step["guidance"]["course_deg"] = round(step["guidance"]["course_deg"] + case.declination(step["guidance"]["aid"])) % 360


def true_heading_for_magnetic(case: Case) -> None:
    step = case.step(lambda s: by_radial(s) and s["expected"]["heading_magnetic_deg"] is not None and
                     abs(case.track(s)["variation_east_deg"]) > 2)
    step["expected"]["heading_magnetic_deg"] = \
        round(step["expected"]["heading_magnetic_deg"] + case.track(step)["variation_east_deg"]) % 360


def variation_for_declination(case: Case) -> None:
    """A radial by today's variation where the station was aligned long ago: needs two degrees between them to be told."""
    step = case.step(lambda s: by_radial(s) and abs(case.declination(s["guidance"]["aid"]) -
                                                   case.track(s)["variation_east_deg"]) > 1.6)
    change = case.declination(step["guidance"]["aid"]) - case.track(step)["variation_east_deg"]
    step["guidance"]["course_deg"] = round(step["guidance"]["course_deg"] + change) % 360


def sign_of_the_declination(case: Case) -> None:
    step = case.step(lambda s: by_radial(s) and abs(case.declination(s["guidance"]["aid"])) > 1)
    step["guidance"]["course_deg"] = round(step["guidance"]["course_deg"] + 2 * case.declination(step["guidance"]["aid"])) % 360


def sign_of_the_variation(case: Case) -> None:
    step = case.step(lambda s: s["guidance"]["kind"] == "fly_heading" and s["expected"]["heading_magnetic_deg"] is not None)
    twice = 2 * case.track(step)["variation_east_deg"]
    for part, key in ((step["guidance"], "track_magnetic_deg"), (step["guidance"], "heading_magnetic_deg"),
                      (step["expected"], "course_magnetic_deg"), (step["expected"], "heading_magnetic_deg")):
        part[key] = round(part[key] + twice) % 360


def from_for_to(case: Case) -> None:
    guidance = case.step(by_radial)["guidance"]
    guidance["direction"] = "from" if guidance["direction"] == "to" else "to"


def from_for_to_with_its_course(case: Case) -> None:
    from_for_to(case)
    guidance = case.step(by_radial)["guidance"]
    guidance["course_deg"] = (guidance["course_deg"] + 180) % 360


def course_off_by_five_degrees(case: Case) -> None:
    guidance = case.step(by_radial)["guidance"]
    guidance["course_deg"] = (guidance["course_deg"] + 5) % 360


def localizer_course_off(case: Case) -> None:
    guidance = case.step(lambda s: s["guidance"]["kind"] == "follow_localizer")["guidance"]
    guidance["front_course_deg"] = (guidance["front_course_deg"] + 2) % 360


def localizer_course_turned_round(case: Case) -> None:
    """The course flown and not the front course, where it is flown the other way."""
    guidance = case.step(lambda s: s["guidance"]["kind"] == "follow_localizer" and
                         (s["guidance"]["outbound"] or s["guidance"]["back_course"]))["guidance"]
    guidance["front_course_deg"] = (guidance["front_course_deg"] + 180) % 360


def needle_that_deceives_not_told(case: Case) -> None:
    step = case.step(lambda s: s["guidance"].get("needle") in ("away_from_the_line", "righted_by_the_front_course"))
    step["guidance"]["needle"] = "toward_the_line"
    step["expected"]["notices"] = [n for n in step["expected"]["notices"] if n["kind"] != "needle_deceives"]


def needle_said_to_deceive(case: Case) -> None:
    case.step(lambda s: s["guidance"].get("needle") == "toward_the_line")["guidance"]["needle"] = "away_from_the_line"


def notice_of_the_needle_left_out(case: Case) -> None:
    step = case.step(lambda s: s["guidance"].get("needle") in ("away_from_the_line", "righted_by_the_front_course"))
    step["expected"]["notices"] = [n for n in step["expected"]["notices"] if n["kind"] != "needle_deceives"]


def wind_forgotten(case: Case) -> None:
    step = case.step(lambda s: by_radial(s) and s["expected"]["heading_magnetic_deg"] is not None and
                     abs(apart(s["expected"]["heading_magnetic_deg"], s["expected"]["course_magnetic_deg"])) > 2)
    step["expected"]["heading_magnetic_deg"] = step["expected"]["course_magnetic_deg"]


def pointer_by_another_card(case: Case) -> None:
    """On a fixed card what a movable one shows, and the other way round."""
    def wrong(part: dict, to_station: float, heading: float) -> float:
        return round(to_station if part["adf"] == "fixed_card" else to_station - heading) % 360

    for step in case.all_steps():
        heading, guidance, end = step["expected"]["heading_magnetic_deg"], step["guidance"], step["end"]
        if heading is None or abs(apart(heading, 0)) < 5:
            continue
        if guidance["kind"] == "follow_bearing":
            back = 0 if guidance["direction"] == "to" else 180
            guidance["pointer_deg"] = wrong(guidance, guidance["track_magnetic_deg"] + back, heading)
            return
        if end["kind"] == "bearing_reached":
            end["pointer_deg"] = wrong(end, end["to_station_magnetic_deg"], heading)
            return
        if step["check"] and step["check"]["kind"] == "bearing_check":
            step["check"]["pointer_deg"] = wrong(step["check"], step["check"]["to_station_magnetic_deg"], heading)
            return
    raise NotHere


# Aids.

def frequency_a_step_off(case: Case) -> None:
    aid = case.step(by_radial)["guidance"]["aid"]
    aid["frequency_mhz"] = round(aid["frequency_mhz"] + 0.05, 2)


def another_letter_keyed(case: Case) -> None:
    aid = case.step(by_radial)["guidance"]["aid"]
    aid["morse"] = aid["morse"][:-1] + ("-" if aid["morse"].endswith(".") else ".")


def aid_that_does_not_exist(case: Case) -> None:
    case.step(by_radial)["guidance"]["aid"]["ident"] = "QQX"


# Ends.

def ends_in_nothing(case: Case) -> None:
    case.step(by_radial)["end"] = {"kind": "nothing", "says": ""}


def end_left_out(case: Case) -> None:
    case.step(by_radial)["end"] = None


def passage_of_a_localizer(case: Case) -> None:
    step = case.step(lambda s: s["guidance"]["kind"] == "follow_localizer")
    step["end"] = {"kind": "station_passage", "says": "", "aid": step["guidance"]["aid"], "pointer": False}


def ground_for_slant(case: Case) -> None:
    for step in case.all_steps():
        end = step["end"]
        if end["kind"] not in ("reading_reached", "change_over") or end.get("reading_nm") is None:
            continue
        aid = end.get("reading_of") or end["aid"]
        for row in case.rows("SELECT * FROM station WHERE ident = ? AND dme_latitude_deg IS NOT NULL", aid["ident"]):
            site = {"latitude_deg": row["dme_latitude_deg"], "longitude_deg": row["dme_longitude_deg"]}
            ground = line(site, case.track(step)["finish"])[0]
            if 0.19 < abs(round(ground, 1) - end["reading_nm"]) < 5 and not row["dme_bias_m"]:
                end["reading_nm"] = round(ground, 1)
                return
    raise NotHere


def dme_that_does_not_exist(case: Case) -> None:
    """A VOR without a DME, read as if it had one."""
    step = case.step(by_reading)
    rows = case.rows("SELECT * FROM station WHERE azimuth = 'vor' AND dme_latitude_deg IS NULL")
    if not rows:
        raise NotHere
    step["end"]["aid"] = dict(aid_of(min(rows, key=lambda row: line(site_of(row), case.track(step)["finish"])[0])))


def biased_dme_taken_for_unbiased(case: Case) -> None:
    for step in case.all_steps():
        if by_reading(step):
            for row in case.rows("SELECT dme_bias_m FROM station WHERE ident = ?", step["end"]["aid"]["ident"]):
                if row["dme_bias_m"]:
                    step["end"]["reading_nm"] = round(step["end"]["reading_nm"] + row["dme_bias_m"] / 1852, 1)
                    return
    raise NotHere


def crossing_too_shallow(case: Case) -> None:
    """The fix by the radial of another station, right but for the angle."""
    for step in case.all_steps():
        if step["guidance"]["kind"] != "follow_radial" or not step["to"] or step["end"]["kind"] not in (
                "radial_centres", "reading_reached"):
            continue
        finish = case.track(step)["finish"]
        along = line(case.track(step)["start"], finish)[2]
        for row in case.rows("SELECT * FROM station WHERE azimuth = 'vor'"):
            nm, out, into = line(site_of(row), finish)
            angle = abs(apart(into, along))
            if row["ident"] != step["guidance"]["aid"]["ident"] and 5 < nm < 80 and 8 < min(angle, 180 - angle) < 26:
                course = round(out - math.degrees(row["declination_east_rad"])) % 360
                step["end"] = {"kind": "radial_centres", "says": "", "aid": aid_of(row), "course_deg": course}
                return
    raise NotHere


def dme_too_far_off_the_track(case: Case) -> None:
    for step in case.all_steps():
        if step["guidance"]["kind"] != "follow_radial" or not step["to"] or not by_reading(step):
            continue
        finish, height = case.track(step)["finish"], step["heights"]["at_end_msl_ft"] * 0.3048
        along = line(case.track(step)["start"], finish)[2]
        for row in case.rows("SELECT * FROM station WHERE azimuth = 'vor' AND dme_latitude_deg IS NOT NULL"):
            nm, _, into = line(site_of(row), finish)
            angle = abs(apart(into, along))
            if row["ident"] != step["guidance"]["aid"]["ident"] and 5 < nm < 80 and 30 < min(angle, 180 - angle):
                up = (height - row["dme_elevation_m"]) / 1852
                step["end"].update(aid=aid_of(row), reading_nm=round(math.hypot(nm, up), 1))
                return
    raise NotHere


# Heights, lengths, times, totals.

def below_the_minimum(case: Case) -> None:
    """The printed minimum and the track tell the same lie: only the rows of the airway do not."""
    def level(step: dict) -> bool:
        return step["phase"] == "en route" and step["via"][:1] in "VJAB" and step["via"][1:2].isdigit() and \
            step["heights"]["minimum_msl_ft"] is not None and step["heights"]["vertical"] == "level"

    step = case.step(level)
    low = step["heights"]["minimum_msl_ft"] - 1000
    for other in case.all_steps():
        if other["via"] == step["via"] and other["heights"]["at_end_msl_ft"] == step["heights"]["at_end_msl_ft"]:
            other["heights"].update(at_end_msl_ft=low, minimum_msl_ft=low)
            case.track(other).update(altitude_msl_ft=low, minimum_msl_ft=low)


def coded_window_left_out(case: Case) -> None:
    step = case.step(lambda s: s["phase"] == "approach" and s["heights"]["at_or_above_msl_ft"] is not None and s["to"])
    step["heights"]["at_or_above_msl_ft"] -= 500
    step["heights"]["at_end_msl_ft"] -= 500
    case.track(step)["altitude_msl_ft"] -= 500


def heading_leg_too_long(case: Case) -> None:
    """A radial of more than 10 NM flown by its heading alone, which is right."""
    step = case.step(lambda s: by_radial(s) and s["expected"]["distance_nm"] > 11 and s["phase"] == "en route")
    step["guidance"] = {"kind": "fly_heading", "says": "", "along_runway": False,
                        "track_magnetic_deg": step["expected"]["course_magnetic_deg"],
                        "heading_magnetic_deg": step["expected"]["heading_magnetic_deg"]}


def step_left_out(case: Case) -> None:
    steps = case.card["steps"]
    for i in range(1, len(steps) - 1):
        if steps[i]["expected"]["distance_nm"] > 5 and steps[i - 1]["end"]["kind"] == "station_passage":
            del steps[i]
            return
    raise NotHere


def time_too_short(case: Case) -> None:
    step = case.step(lambda s: by_radial(s) and s["expected"]["time_s"])
    step["expected"]["time_s"] = round(step["expected"]["time_s"] * 0.9)


def distance_too_long(case: Case) -> None:
    case.step(by_radial)["expected"]["distance_nm"] += 0.5


def fuel_that_does_not_add_up(case: Case) -> None:
    case.card["fuel_lb"] = round(case.card["fuel_lb"] * 0.93 - 6)


def reserve_forgotten(case: Case) -> None:
    case.card["fuel_needed_lb"] = case.card["fuel_lb"]


# Radios.

def retune_that_steals_guidance(case: Case) -> None:
    for step in case.card["steps"]:
        if not by_radial(step) or step["phase"] != "en route" or (step["expected"]["time_s"] or 0) < 300:
            continue
        guiding = [r for r in step["radios"]["receivers"] if r["active"] and r["active"]["ident"] == step["guidance"]["aid"]["ident"]]
        others = [r for r in case.all_steps() if r["guidance"].get("aid") and r["guidance"]["aid"]["kind"].startswith("VOR") and
                  r["guidance"]["aid"]["ident"] != step["guidance"]["aid"]["ident"]]
        if len(guiding) == 1 and others and not any(w["kind"] in ("tune", "guide_by") for w in step["work"]):
            n = step["number"]
            step["work"].append({"kind": "tune", "says": "", "set": {"kind": "receiver", "number": guiding[0]["number"]},
                                 "aid": others[0]["guidance"]["aid"], "after": {"end_of_step": n - 1, "name": ""},
                                 "before": {"end_of_step": n, "name": ""}, "slack_s": 0})
            return
    raise NotHere


def identified_too_late(case: Case) -> None:
    """Tuned when it is needed, and no sooner."""
    _, work = case.work("tune", lambda step, work: work["set"]["kind"] == "receiver")
    work["after"] = dict(work["before"])
    work["slack_s"] = 0


def tuned_a_step_too_late(case: Case) -> None:
    """The same, its events as they were: only the page on which it stands is another."""
    for i, step in enumerate(case.all_steps()):
        for work in step["work"]:
            if work["kind"] == "tune" and work["set"]["kind"] == "receiver" and step["number"] <= work["before"]["end_of_step"]:
                late = [s for s in case.all_steps() if s["number"] == work["before"]["end_of_step"] + 1]
                if late:
                    step["work"].remove(work)
                    late[0]["work"].insert(0, work)
                    return
    raise NotHere


def tuning_forgotten(case: Case) -> None:
    step, work = case.work("tune", lambda step, work: work["set"]["kind"] == "receiver")
    step["work"].remove(work)


def receiver_that_is_not_aboard(case: Case) -> None:
    _, work = case.work("tune", lambda step, work: work["set"]["kind"] == "receiver")
    work["set"]["number"] = len(case.equipment["receivers"]) + 1


def tuned_below_500_ft(case: Case) -> None:
    step = case.card["steps"][0]
    localizers = [s["guidance"]["aid"] for s in case.all_steps() if s["guidance"]["kind"] == "follow_localizer"]
    if (step["expected"]["time_s"] or 0) < 21 or not localizers or len(step["radios"]["receivers"]) < 2:
        raise NotHere
    step["work"].insert(0, {"kind": "tune", "says": "", "set": {"kind": "receiver", "number": 2}, "aid": localizers[0],
                            "after": {"end_of_step": 0, "name": ""}, "before": {"end_of_step": 1, "name": ""}, "slack_s": 0})


def tuned_in_the_last_two_minutes(case: Case) -> None:
    """Before the final fix, on a receiver that nothing needs: the fix itself is what it would be needed at."""
    final = case.plan["flight"]["final_approach"]
    at = [s for s in case.card["steps"] if final and s["number"] == final["first_step"] - 1]
    if not at or (at[0]["expected"]["time_s"] or 999) > 118 or at[0]["expected"]["time_s"] < 45:
        raise NotHere
    n = at[0]["number"]
    at[0]["work"].append({"kind": "tune", "says": "", "set": {"kind": "receiver", "number": 2},
                          "aid": case.step(by_radial)["guidance"]["aid"], "after": {"end_of_step": n - 1, "name": ""},
                          "before": {"end_of_step": n, "name": ""}, "slack_s": 0})


def slack_without_the_time_to_identify(case: Case) -> None:
    """All the time between the two events. (Less may be left than the checker knows: it does not compute who is heard when.)"""
    _, work = case.work("tune", lambda step, work: work["after"]["end_of_step"] < work["before"]["end_of_step"])
    at = {0: 0.0, **{step["number"]: case.ends_at(step) for step in case.all_steps()}}
    work["slack_s"] = round(at[work["before"]["end_of_step"]] - at[work["after"]["end_of_step"]])


def hold_forgotten(case: Case) -> None:
    step, work = case.work("select_distance", lambda step, work: work["from"] == "held")
    step["work"].remove(work)


def switch_of_the_dme_forgotten(case: Case) -> None:
    step, work = case.work("select_distance", lambda step, work: work["from"] == "receiver")
    step["work"].remove(work)


def course_not_set(case: Case) -> None:
    step, work = case.work("set_course")
    step["work"].remove(work)


def another_aid_on_the_printed_set(case: Case) -> None:
    for step in case.all_steps():
        for receiver in step["radios"]["receivers"]:
            others = [s["guidance"]["aid"] for s in case.all_steps() if s["guidance"].get("aid") and receiver["active"] and
                      s["guidance"]["aid"]["kind"].startswith("VOR") and s["guidance"]["aid"]["ident"] != receiver["active"]["ident"]]
            if others:
                receiver["active"] = others[0]
                return
    raise NotHere


# The check of a step.

def check_by_what_guides(case: Case) -> None:
    step = case.step(lambda s: s["check"] and "aid" in s["check"] and s["guidance"].get("aid"))
    step["check"]["aid"] = step["guidance"]["aid"]


def reading_of_a_check_off(case: Case) -> None:
    case.step(lambda s: s["check"] and s["check"]["kind"] == "reading_check")["check"]["reading_nm"] += 0.5


def radial_of_a_check_off(case: Case) -> None:
    check = case.step(lambda s: s["check"] and s["check"]["kind"] == "radial_check")["check"]
    check["radial_deg"] = (check["radial_deg"] + 3) % 360


def tolerance_of_a_check_too_small(case: Case) -> None:
    check = case.step(lambda s: s["check"] and s["check"]["kind"] == "reading_check")["check"]
    check["tolerance_nm"] = round(check["tolerance_nm"] / 3, 1)


def reading_at_a_changeover_off(case: Case) -> None:
    case.step(lambda s: s["end"]["kind"] == "change_over" and s["end"].get("reading_nm"))["end"]["reading_nm"] += 1


def hold_on_the_wrong_side(case: Case) -> None:
    guidance = case.step(lambda s: s["guidance"]["kind"] == "fly_hold" and s["phase"] == "missed approach")["guidance"]
    guidance["turns"] = "left" if guidance["turns"] == "right" else "right"


def hold_three_degrees_off_its_row(case: Case) -> None:
    """Card and track alike, so that only the row tells."""
    step = case.step(lambda s: s["guidance"]["kind"] == "fly_hold" and s["phase"] == "missed approach"
                     and not (s["guidance"].get("aid") or {"kind": "NDB"})["kind"].startswith("NDB"))
    step["guidance"]["inbound_magnetic_deg"] = (step["guidance"]["inbound_magnetic_deg"] + 3) % 360
    case.track(step)["track_true_deg"] = (case.track(step)["track_true_deg"] + 3) % 360


def missed_approach_that_descends(case: Case) -> None:
    step = case.step(lambda s: s["phase"] == "missed approach" and s["guidance"]["kind"] != "fly_hold"
                     and s is not case.card["missed"][0])
    before = case.track(case.card["missed"][case.card["missed"].index(step) - 1])
    low = before["altitude_msl_ft"] - 300
    step["heights"]["at_end_msl_ft"] = case.track(step)["altitude_msl_ft"] = low


# Each with the checks of which one must find it.
FAULTS = (
    (true_course_for_magnetic, ("course.radial", "course.along")),
    (true_heading_for_magnetic, ("wind.heading",)),
    (from_for_to, ("course.to_from",)),
    (from_for_to_with_its_course, ("course.to_from",)),
    (ground_for_slant, ("dme.reading",)),
    (sign_of_the_declination, ("course.radial", "course.along")),
    (sign_of_the_variation, ("course.track", "course.expected", "wind.heading")),
    (variation_for_declination, ("course.radial", "course.along")),
    (dme_that_does_not_exist, ("dme.exists",)),
    (retune_that_steals_guidance, ("guidance.taken", "guidance.tuned")),
    (identified_too_late, ("ident.in_time",)),
    (tuned_a_step_too_late, ("ident.in_time", "guidance.tuned", "tell.tuned", "dme.whose")),
    (ends_in_nothing, ("end.observable",)),
    (end_left_out, ("end.observable",)),
    (passage_of_a_localizer, ("end.observable",)),
    (below_the_minimum, ("height.airway",)),
    (heading_leg_too_long, ("heading.leg",)),
    (coded_window_left_out, ("height.coded",)),
    (frequency_a_step_off, ("aid.frequency",)),
    (another_letter_keyed, ("aid.morse",)),
    (aid_that_does_not_exist, ("aid.exists",)),
    (receiver_that_is_not_aboard, ("set.aboard",)),
    (hold_forgotten, ("dme.whose",)),
    (switch_of_the_dme_forgotten, ("dme.whose", "radios.replayed")),
    (course_off_by_five_degrees, ("course.radial", "course.along")),
    (localizer_course_off, ("course.localizer",)),
    (localizer_course_turned_round, ("course.localizer",)),
    (crossing_too_shallow, ("fix.angle",)),
    (dme_too_far_off_the_track, ("fix.angle",)),
    (pointer_by_another_card, ("pointer.shows",)),
    (fuel_that_does_not_add_up, ("total.fuel",)),
    (reserve_forgotten, ("total.fuel_needed",)),
    (time_too_short, ("wind.time",)),
    (distance_too_long, ("distance.on_paper",)),
    (wind_forgotten, ("wind.heading",)),
    (step_left_out, ("step.continues", "step.number")),
    (needle_that_deceives_not_told, ("needle.sense",)),
    (needle_said_to_deceive, ("needle.sense",)),
    (notice_of_the_needle_left_out, ("notice.needle",)),
    (biased_dme_taken_for_unbiased, ("dme.reading",)),
    (tuned_below_500_ft, ("retune.forbidden",)),
    (tuned_in_the_last_two_minutes, ("retune.forbidden",)),
    (tuning_forgotten, ("guidance.tuned", "tell.tuned", "dme.whose", "radios.replayed")),
    (slack_without_the_time_to_identify, ("slack",)),
    (course_not_set, ("course.on_receiver", "radios.replayed")),
    (another_aid_on_the_printed_set, ("radios.replayed",)),
    (check_by_what_guides, ("check.independent",)),
    (reading_of_a_check_off, ("check.reading",)),
    (radial_of_a_check_off, ("check.radial",)),
    (tolerance_of_a_check_too_small, ("check.tolerance",)),
    (reading_at_a_changeover_off, ("dme.reading",)),
    (hold_on_the_wrong_side, ("hold.coded",)),
    (hold_three_degrees_off_its_row, ("hold.coded",)),
    (missed_approach_that_descends, ("height.missed",)),
)
