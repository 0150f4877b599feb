#!/usr/bin/env python3
"""omniway hear as its user meets it: along a way, at places, as a map; bad input; cancelled.

    hear_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import json
import math
import os
import pathlib
import signal
import struct
import subprocess
import tempfile
import time
import unittest
import xml.etree.ElementTree as Xml

from command_test import DEMO, OMNIWAY, ROOT, check_schema, run, schema_of

AREA = ("--area", "39,-173,41,-170")
SVG = "{http://www.w3.org/2000/svg}"


def hear(*words):
    """Over a smooth earth unless said otherwise, so that no test waits for the horizons of the whole country to be made."""
    reception = () if "--reception" in words else ("--reception", "horizon")
    return run("hear", *words, *reception, "--atlas", DEMO)


def has_terrain():
    return "terrain" in run("hear", "--at", "40.3,-171,5000", "--atlas", DEMO).stdout.splitlines()[0].split(",")[0]


def tiff_bands(path):
    """The bands of a GeoTIFF, as ENVI raw files written by GDAL; none where its tools are not there."""
    raw = path.with_suffix(".raw")
    try:
        subprocess.run(["gdal_translate", "-q", "-of", "ENVI", path, raw], check=True, capture_output=True)
    except FileNotFoundError:
        return None
    values = raw.read_bytes()
    return struct.unpack(f"<{len(values) // 4}f", values)


class Hear(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.path = pathlib.Path(self.folder.name)

    def tearDown(self):
        self.folder.cleanup()

    def document(self, result, status=0):
        self.assertEqual(result.returncode, status, result.stderr + result.stdout)
        document = json.loads(result.stdout)
        kind = "errors" if status else "hear"
        self.assertEqual((document["kind"], check_schema(document, schema_of(kind))), (kind, []))
        return document

    def refuses(self, words, code, *said):
        result = hear(*words)
        self.assertEqual(result.returncode, 2, result.stderr)
        self.assertEqual(result.stdout, "")
        for word in (f"[{code}]", *said):
            self.assertIn(word, result.stderr)
        errors = self.document(hear(*words, "--json"), 2)["errors"]
        self.assertIn(code, {each["code"] for each in errors})


class Along(Hear):
    def test_a_planned_way_fits_its_schema_and_its_bars_lie_within_it(self):
        along = self.document(hear("XDOV", "XMRA", "--wind", "270/20", "--json"))["along"]
        self.assertTrue(along["planned"])
        self.assertTrue(along["minimums"])
        for lane in along["lanes"]:
            before = -1.0
            for bar in lane["bars"]:
                self.assertLess(before, bar["from_nm"])
                self.assertLess(bar["from_nm"], bar["to_nm"])
                self.assertLessEqual(bar["to_nm"], along["distance_nm"])
                self.assertEqual(bar["silent_before"] == "none", bar["from_nm"] == 0)
                self.assertEqual(bar["silent_after"] == "none", bar["to_nm"] == along["distance_nm"])
                before = bar["to_nm"]

    def test_a_straight_line_between_stations_needs_no_plan(self):
        along = self.document(hear("XMR", "XRG", "--altitude", "5000", "--json"))["along"]
        self.assertFalse(along["planned"])
        self.assertEqual({point["altitude_msl_ft"] for point in along["flown"]}, {5000})

    def test_each_end_of_a_bar_is_where_asking_at_the_place_says_so(self):
        # 0.15 NM on either side of an end: the promise is 0.1 NM.
        along = self.document(hear("XMR", "40.9,-170.2", "--altitude", "9000", "--json"))["along"]
        ends = [(lane["station"]["ident"], lane["part"], bar["to_nm"]) for lane in along["lanes"]
                for bar in lane["bars"] if bar["silent_after"] != "none"]
        self.assertTrue(ends)
        first, last = along["flown"][0]["place"], along["flown"][-1]["place"]
        for ident, part, end in ends:
            heard = []
            for at in (end - 0.15, end + 0.15):
                share = at / along["distance_nm"]
                place = [first[name] + (last[name] - first[name]) * share for name in ("latitude_deg", "longitude_deg")]
                point = self.document(hear("--at", f"{place[0]},{place[1]},9000", "--json"))["points"][0]
                heard.append(any((each["station"]["ident"], each["part"]) == (ident, part) for each in point["parts"]))
            self.assertEqual(heard, [True, False], (ident, part, end))

    def test_the_picture_is_well_formed_and_its_bars_stand_where_the_document_says(self):
        file = self.path / "strip.svg"
        words = ("XDOV", "XMRA", "--wind", "270/20", "--json", "--svg", file)
        along = self.document(hear(*words))["along"]
        root = Xml.parse(file).getroot()
        bars = [bar for bar in root.iter(f"{SVG}g") if bar.get("class") == "bar"]
        said = [(lane["station"]["ident"], lane["part"], bar["from_nm"], bar["to_nm"])
                for lane in along["lanes"] for bar in lane["bars"]]
        self.assertEqual(len(bars), len(said))
        scale = None
        for bar, (ident, part, begin, end) in zip(bars, said):
            self.assertEqual((bar.get("data-ident"), bar.get("data-part")), (ident, part))
            outline = next(box for box in bar.iter(f"{SVG}rect") if box.get("class") == "outline")
            width = float(outline.get("width"))
            if end - begin > 20:
                scale = scale or width / (end - begin)
                self.assertAlmostEqual(width / (end - begin), scale, delta=0.01)
            self.assertAlmostEqual(float(outline.get("x")), 190 + begin * (1110 - 190) / along["distance_nm"], delta=0.05)
            self.assertAlmostEqual(width, (end - begin) * (1110 - 190) / along["distance_nm"], delta=0.1)
        text = "".join(root.itertext())
        self.assertIn("not for real-world navigation", text)
        self.assertIn("range", text)
        colours = {element.get(name) for element in root.iter() for name in ("fill", "stroke") if element.get(name)}
        for colour in colours - {"none", "white", "black"}:
            if not colour.startswith("url("):
                self.assertEqual((colour[1:3], colour[3:5]), (colour[3:5], colour[5:7]), "greys alone")

    def test_a_pair_without_a_flight_is_an_answer_and_can_be_heard_along_straight(self):
        words = ("XMRA", "XICO", "--aircraft", "trainer")
        result = hear(*words)
        self.assertEqual((result.returncode, result.stderr), (1, ""))
        self.assertIn("no flight from XMRA to XICO", result.stdout)
        document = json.loads(hear(*words, "--json").stdout)
        self.assertEqual(check_schema(document, schema_of("hear")), [])
        self.assertIn("--direct", document["no_way"])
        self.assertTrue(self.document(hear(*words, "--direct", "--altitude", "6000", "--json"))["along"]["lanes"])

    def test_text_names_each_station_with_its_reasons(self):
        text = hear("XMR", "XRG", "--altitude", "5000").stdout
        self.assertIn("beyond its service volume", text)
        self.assertIn("Not for real-world navigation", text)
        self.assertLessEqual(max(len(line) for line in text.splitlines() if "NM   " not in line), 110)

    def test_the_page_quotes_what_is_printed(self):
        page = (ROOT / "docs" / "hear.md").read_text()
        command, _, rest = page.partition("    $ omniway ")[2].partition("\n")
        quoted = [line.strip() for line in rest.partition("\n`--svg FILE`")[0].splitlines()]
        printed = [line.strip() for line in run(*command.split(), "--atlas", DEMO).stdout.splitlines()]
        self.assertEqual([line for line in quoted if line], [line for line in printed if line])

    def test_an_atlas_without_terrain_is_said_to_be_so(self):
        for words in (("XMR", "XRG", "--altitude", "5000"), ("--at", "40.3,-171,5000")):
            printed = hear(*words, "--reception", "horizon").stdout
            self.assertIn("terrain not considered", printed)

    def test_over_terrain_the_ground_below_is_drawn_and_less_is_heard(self):
        if not has_terrain():
            self.skipTest("the demo atlas holds no terrain")
        words = ("XMR", "XRG", "--altitude", "9000", "--json")
        over, smooth = (self.document(hear(*words, "--reception", mode)) for mode in ("terrain", "horizon"))
        self.assertEqual((over["reception"], smooth["reception"]), ("terrain", "horizon"))
        self.assertGreater(max(each["elevation_msl_ft"] or 0 for each in over["along"]["ground"]), 1000)
        heard = [sum(bar["to_nm"] - bar["from_nm"] for lane in each["along"]["lanes"] for bar in lane["bars"])
                 for each in (over, smooth)]
        self.assertLessEqual(heard[0], heard[1] + 0.01)

    def test_bad_input_is_refused_by_name(self):
        self.refuses(("XMRR", "XRG", "--altitude", "5000"), "app.unknown_ident", "FROM", "did you mean XMR")
        self.refuses(("XMR", "XRG"), "app.altitude_missing", "--altitude")
        self.refuses(("XMR", "XRG", "--altitude", "99000"), "app.out_of_range", "100 to 60000 ft")
        self.refuses(("XMR", "XMR", "--altitude", "5000"), "app.out_of_range", "0.1 to 2000 NM")
        self.refuses(("XMR", "91,0", "--altitude", "5000"), "app.out_of_range", "-90 to 90")
        self.refuses(("XMR", "40,", "--altitude", "5000"), "app.bad_place", "LAT,LON")
        self.refuses(("XMR", "XRG", "--altitude", "5000", "--reception", "magic"), "app.unknown_reception", "volume")
        self.refuses(("XMR",), "cli.arguments", "TO")
        self.refuses((), "cli.arguments")
        self.refuses(("XMR", "XRG", "--at", "1,2,3"), "cli.arguments")
        self.refuses(("XMR", "XRG", "--altitude", "5000", "--svg", "/no/such/folder/x.svg"), "app.not_writable",
                     "/no/such/folder/x.svg")


class AtPlaces(Hear):
    def test_what_is_heard_has_margins_and_what_is_not_has_a_reason(self):
        parts = self.document(hear("--at", "40.3,-171,2000", "--all", "--json"))["points"][0]["parts"]
        self.assertTrue(any(part["heard"] for part in parts) and any(not part["heard"] for part in parts))
        for part in parts:
            self.assertEqual(part["heard"], part["silence"] == "none")
            if part["heard"] and part["within_limit_nm"] is not None:
                self.assertGreaterEqual(part["within_limit_nm"], -0.01)
            if part["above_sight_ft"] is not None:
                self.assertAlmostEqual(part["above_sight_ft"], 2000 - part["lowest_sight_msl_ft"], delta=1.5)

    def test_a_file_is_answered_row_by_row_in_its_own_order(self):
        file = self.path / "places.csv"
        file.write_text('altitude_ft,"lat_deg",lon_deg\r\n5000,40.3,-171\r\n\r\n"2000",40.3,-171\r\n300,10,10\r\n')
        points = self.document(hear("--points", file, "--json"))["points"]
        self.assertEqual([point["altitude_msl_ft"] for point in points], [5000, 2000, 300])
        self.assertEqual(points[2]["parts"], [])
        for point, feet in zip(points, (5000, 2000)):
            alone = self.document(hear("--at", f"40.3,-171,{feet}", "--json"))["points"][0]
            self.assertEqual(point, alone)

    def test_a_file_with_faults_names_each_with_its_line_and_column(self):
        for text, code, where in (
                ("lat_deg,lon_deg,altitude_ft\n40,x,5000\n", "read.not_a_number", ":2:4:"),
                ("lat_deg,lon_deg,altitude_ft\n40,-171,5000\n95,-171,5000\n", "read.out_of_range", ":3:1:"),
                ("lat_deg,lon_deg,altitude_ft\n40,-171\n", "read.wrong_field_count", ":2:1:"),
                ("lat_deg,lon_deg,altitude_ft\n40,,5000\n", "read.value_missing", ":2:4:"),
                ("lat_deg,lon_deg\n40,-171\n", "read.column_missing", ":1:1:"),
                ("lat_deg,lon_deg,altitude_m,altitude_ft\n", "read.column_unknown", ":1:17:"),
                ("lat_deg,lon_deg,altitude_ft\n", "read.no_records", ":1:1:"),
                ('lat_deg,lon_deg,altitude_ft\n40,"-171,5000\n', "read.quote_not_closed", ":2:4:"),
                ("", "read.file_empty", "places.csv")):
            file = self.path / "places.csv"
            file.write_text(text)
            self.refuses(("--points", file), code, where)
        self.refuses(("--points", self.path / "none.csv"), "read.file_missing", "none.csv")
        self.refuses(("--at", "40,-171"), "app.bad_place", "LAT,LON,FT")
        self.refuses(("--at", "40,-171,70000"), "app.out_of_range", "-1500 to 60000 ft")


class Maps(Hear):
    def map(self, *words):
        return hear("--map", *AREA, "--cell", "600", *words)

    def test_a_map_fits_its_schema_and_every_band_is_in_the_file(self):
        file = self.path / "heard.tif"
        account = self.document(self.map("--altitude", "6000", "--out", file, "--json"))["map"]
        self.assertEqual((account["columns"], account["rows"], len(account["bands"])), (18, 12, 5))
        self.assertEqual(os.listdir(self.path), ["heard.tif"])
        values = tiff_bands(file)
        if values is None:
            self.skipTest("no GDAL tools here to read the file back with")
        cells = account["columns"] * account["rows"]
        for at, band in enumerate(account["bands"]):
            known = [value for value in values[at * cells:(at + 1) * cells] if not math.isnan(value)]
            self.assertEqual(len(known), band["cells"], band["name"])
            least = next(value for name, value in band.items() if name.startswith("least"))
            self.assertAlmostEqual(min(known), least, delta=0.6)

    def test_stations_counted_in_a_cell_are_those_heard_at_its_centre(self):
        file = self.path / "heard.tif"
        account = self.document(self.map("--altitude", "6000", "--out", file, "--json"))["map"]
        values = tiff_bands(file)
        if values is None:
            self.skipTest("no GDAL tools here to read the file back with")
        places = [(row, column) for row in (0, 5, 11) for column in (0, 7, 13, 17)]
        rows = "".join(f"{account['north_west']['latitude_deg'] - (row + 0.5) / 6},"
                       f"{account['north_west']['longitude_deg'] + (column + 0.5) / 6},6000\n" for row, column in places)
        points = self.path / "centres.csv"
        points.write_text("lat_deg,lon_deg,altitude_ft\n" + rows)
        heard = self.document(hear("--points", points, "--json"))["points"]
        for (row, column), point in zip(places, heard):
            idents = {part["station"]["ident"] for part in point["parts"] if part["part"] != "glideslope"}
            self.assertEqual(values[row * account["columns"] + column], len(idents), (row, column))

    def test_a_picture_is_written_for_each_kind_and_for_one_station(self):
        for kind in ("stations", "lowest-one", "lowest-two", "accuracy"):
            file = self.path / f"{kind}.png"
            account = self.document(self.map("--altitude", "6000", "--kind", kind, "--out", file, "--json"))["map"]
            self.assertEqual(account["picture"], kind)
            self.assertEqual(file.read_bytes()[:8], b"\x89PNG\r\n\x1a\n")
        file = self.path / "one.png"
        account = self.document(hear("XMR", "--map", *AREA, "--cell", "600", "--out", file, "--json"))["map"]
        self.assertEqual((account["station"], account["picture"]), ("XMR", "lowest-usable"))

    def test_bad_input_is_refused_and_writes_nothing(self):
        out = self.path / "map.tif"
        for words, code, said in (
                (("--area", "39,-173,95,-170", "--altitude", "6000", "--out", out), "app.out_of_range", "-90 to 90"),
                (("--area", "41,-173,39,-170", "--altitude", "6000", "--out", out), "app.bad_place", "S,W,N,E"),
                (("--area", "39,-173,41", "--altitude", "6000", "--out", out), "app.bad_place", "S,W,N,E"),
                ((*AREA, "--altitude", "6000", "--cell", "0", "--out", out), "app.out_of_range", "1 to 3600"),
                ((*AREA, "--altitude", "6000", "--cell", "1", "--out", out), "app.map_too_large", "--cell"),
                ((*AREA, "--out", out), "app.altitude_missing", "--altitude"),
                ((*AREA, "--altitude", "6000", "--out", self.path / "map.gif"), "app.map_form", ".tif or .png"),
                ((*AREA, "--altitude", "6000", "--out", "/no/such/map.tif"), "app.not_writable", "/no/such/map.tif"),
                ((*AREA, "--altitude", "6000", "--kind", "colours", "--out", out), "app.unknown_word", "stations"),
                ((*AREA, "--altitude", "6000", "--criteria", "own", "--out", out), "app.unknown_word", "pans-ops"),
                ((*AREA, "--altitude", "6000"), "cli.arguments", "--out")):
            self.refuses(("--map", *words), code, said)
        self.refuses(("XMRR", "--map", *AREA, "--out", out), "app.unknown_ident", "did you mean XMR")
        self.assertEqual(os.listdir(self.path), [])

    def test_a_cancelled_map_leaves_nothing_and_an_old_one_as_it_was(self):
        file = self.path / "map.tif"
        file.write_bytes(b"old")
        for stop in (signal.SIGINT, signal.SIGTERM):
            with subprocess.Popen([OMNIWAY, "hear", "--map", "--area", "30,-180,50,-160", "--cell", "40", "--altitude", "6000",
                                   "--out", file, "--reception", "horizon", "--atlas", DEMO],
                                  stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
                time.sleep(0.3)
                process.send_signal(stop)
                out, err = process.communicate(timeout=60)
            self.assertEqual((process.returncode, out), (3, ""), err)
            self.assertIn("[app.cancelled]", err)
            self.assertEqual(os.listdir(self.path), ["map.tif"])
            self.assertEqual(file.read_bytes(), b"old")


if __name__ == "__main__":
    unittest.main()
