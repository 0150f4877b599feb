"""Who is heard on the missed approaches of the demo region: the ribbon against the published volumes and a brute-force ray.

missed_hearing_test.py OMNIWAY WRITE_VIEW RAY_MARCH SHARE_FOLDER DEMO_TERRAIN.tif

Every VOR at every quarter of a mile of each missed approach, by what shares no code with src/:
- volumes: AIM 1-1-8, table 1-1-1 (terminal 25 NM, low 40 NM, high 40 NM to 14,500 ft, from 1,000 ft above the aid; below that the horizon of
  the height above the aid and no more than at 1,000 ft, docs/service-classes.md);
- line of sight: d = 1.23 (sqrt h1 + sqrt h2) in NM and feet (4/3 earth), and ray_march.cpp over the raster;
- cone overhead: 50 degrees from the vertical (PANS-OPS I-2-2).
Distances by Andoyer and Lambert. What lies within a cell's worth of the ray's altitude, or 0.15 NM of another edge, is not compared.
"""
import itertools
import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

from line_of_sight_test import ask, read_tiff

AIRPORTS = ("XDOV", "XMRA", "XPIR", "XALD")
ANTENNA_M = 5.0  # above the ground of its site: common practice, no source (radio/reception.hpp)
RADIUS_NM = {"terminal": 25.0, "unknown": 25.0, "low": 40.0, "high": 40.0}
EDGE_NM = 0.15
FT_PER_NM = 1852.0 / 0.3048
STEP_NM = 0.25


def distance_nm(a, b):
    """Andoyer and Lambert on WGS 84: below 20 m of error at 100 km."""
    flat = 1 / 298.257223563
    r1, r2 = (math.atan((1 - flat) * math.tan(math.radians(p[0]))) for p in (a, b))
    half = math.hypot(math.sin((r2 - r1) / 2), math.sqrt(math.cos(r1) * math.cos(r2)) * math.sin(math.radians(b[1] - a[1]) / 2))
    sigma = 2 * math.asin(min(1.0, half))
    if sigma < 1e-9:
        return 0.0
    p, q = (r1 + r2) / 2, (r2 - r1) / 2
    x = (sigma - math.sin(sigma)) * (math.sin(p) * math.cos(q) / math.cos(sigma / 2)) ** 2
    y = (sigma + math.sin(sigma)) * (math.cos(p) * math.sin(q) / math.sin(sigma / 2)) ** 2
    return 6378137.0 * (sigma - flat / 2 * (x + y)) / 1852.0


def horizon_nm(aid_ft, aircraft_ft):
    return 1.23 * (math.sqrt(max(0.0, aid_ft)) + math.sqrt(max(0.0, aircraft_ft)))


def place_of(value):
    return value["latitude_deg"], value["longitude_deg"]


def between(points, key, at, value):
    """Straight between two points of a list that ascends by key."""
    for a, b in zip(points, points[1:]):
        if a[key] <= at <= b[key] and b[key] > a[key]:
            return value(a) + (value(b) - value(a)) * (at - a[key]) / (b[key] - a[key])
    return value(points[-1])


class Flight:
    """The missed approach of a card, and what its ribbon says of it."""

    def __init__(self, card, ribbon):
        self.ribbon = ribbon
        tracks = card["track"]["missed_approach"]
        self.begins, self.ends = ribbon["distance_nm"], ribbon["distance_with_missed_nm"]
        self.legs = [(step["begins_nm"], step["ends_nm"], place_of(track["start"]), place_of(track["finish"]))
                     for step, track in zip([s for s in ribbon["steps"] if s["missed"]], tracks)
                     if step["ends_nm"] > step["begins_nm"] and step["guidance"] in ("radial", "bearing", "localizer", "dead_reckoning")]

    def at(self, along):
        """The place, on a line straight in latitude and longitude (a leg is some miles long), and the altitude in feet; none on an arc."""
        for begins, ends, start, finish in self.legs:
            if begins <= along <= ends:
                share = (along - begins) / (ends - begins)
                return (start[0] + (finish[0] - start[0]) * share, start[1] + (finish[1] - start[1]) * share,
                        between(self.ribbon["heights"], "at_nm", along, lambda h: h["altitude_msl_ft"]))
        return None

    def hears(self, station, along):
        return any(span["begins_nm"] <= along <= span["ends_nm"] for lane in self.ribbon["hearing"]
                   if (lane["station"], lane["frequency"], lane["part"]) == (station["ident"], station["frequency"], "azimuth")
                   for span in lane["spans"])

    def near_an_end(self, station, along):
        return any(abs(span[end] - along) < EDGE_NM for lane in self.ribbon["hearing"]
                   if (lane["station"], lane["frequency"], lane["part"]) == (station["ident"], station["frequency"], "azimuth")
                   for span in lane["spans"] for end in ("begins_nm", "ends_nm"))


def by_volume_and_cone(station, place):
    """Whether both let it be heard; none where that is decided by less than the edge."""
    away = distance_nm(station["place"], place)
    up_ft = place[2] - station["ground_ft"]
    radius = RADIUS_NM[station["class"]]
    if up_ft < 1000.0:
        radius = min(radius, horizon_nm(0.0, up_ft))
    cone = (place[2] - station["antenna_ft"]) / FT_PER_NM * math.tan(math.radians(50.0))
    horizon = horizon_nm(station["antenna_ft"], place[2])
    if min(abs(away - radius), abs(away - cone), abs(away - horizon)) < EDGE_NM or abs(up_ft - 1000.0) < 20.0:
        return None
    return cone < away < min(radius, horizon)


def main() -> int:
    omniway, write_view, ray_march, share, terrain = sys.argv[1:]
    atlas = Path(share) / "demo.atlas"
    raster = read_tiff(Path(terrain))

    def told(*words):
        return json.loads(subprocess.run(words, capture_output=True, text=True, check=True, timeout=120).stdout)

    about = told(write_view, atlas, share, "about")["chart"]
    chart = told(write_view, atlas, share, "chart", *(str(about[f"{side}_deg"]) for side in ("west", "south", "east", "north")))
    stations = []
    for one in chart["stations"]:
        if one["kind"] in ("vor", "vor_dme"):
            shown = next(f["station"] for f in told(omniway, "show", one["ident"], "--atlas", atlas, "--json")["found"]
                         if f["kind"] == "station" and f["station"]["site"] == one["place"])
            site = place_of(one["place"])
            ground_ft = max(shown.get("dme_elevation_msl_ft", -1e9), raster.ground_m(*site) / 0.3048)
            stations.append({**one, "place": site, "class": shown["service_class"], "ground_ft": ground_ft,
                             "antenna_ft": ground_ft + ANTENNA_M / 0.3048})

    asked = []
    with tempfile.TemporaryDirectory() as folder:
        for start, end in itertools.permutations(AIRPORTS, 2):
            card = Path(folder) / f"{start}{end}.json"
            subprocess.run([omniway, "plan", start, end, "--wind", "270/20", "--date", "2026-11-25", "--card", card, "--atlas", atlas],
                           capture_output=True, check=True, timeout=120)
            flight = Flight(json.loads(card.read_text()), told(write_view, atlas, share, "ribbon", card))
            along = flight.begins + STEP_NM / 2
            while along < flight.ends:
                place = flight.at(along)
                if place:
                    asked += [(flight, along, place, station) for station in stations]
                along += STEP_NM

    # Only those that volume and cone let be heard need a ray.
    first = [by_volume_and_cone(station, place) for _, _, place, station in asked]
    rays = [k for k, heard in enumerate(first) if heard]
    with tempfile.NamedTemporaryFile(suffix=".raw") as file:
        raster.write(file)
        lines = "".join(" ".join(f"{v:.9f}" for v in (*asked[k][3]["place"], asked[k][3]["antenna_ft"] * 0.3048, *asked[k][2][:2])) + " 1\n"
                        for k in rays)
        lowest = dict(zip(rays, ask(ray_march, file.name, raster, lines)))

    compared = heard = 0
    wrong = []
    for k, (flight, along, place, station) in enumerate(asked):
        truth = first[k]
        if truth:
            _, low_m, high_m, *_ = lowest[k]
            up_m = place[2] * 0.3048
            truth = None if low_m - 10.0 <= up_m <= high_m + 10.0 else up_m > high_m
        if truth is None or flight.near_an_end(station, along):
            continue
        compared += 1
        heard += truth
        if flight.hears(station, along) != truth:
            wrong.append((flight.ribbon["steps"][-1]["says"], station["ident"], round(along - flight.begins, 2), place, truth))
    print(f"{len(stations)} VORs, {len(asked)} questions on {len({id(a[0]) for a in asked})} missed approaches: {compared} compared, "
          f"{heard} heard, {len(wrong)} otherwise than here")
    for each in wrong[:8]:
        print("  ", each)
    assert compared > 2000 and 50 < heard < compared - 2000, "the questions do not try both answers"
    assert not wrong
    return 0


if __name__ == "__main__":
    sys.exit(main())
