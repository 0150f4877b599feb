#!/usr/bin/env python3
"""The program as its user meets it: exit statuses, sentences on bad input, nothing written, JSON that fits api/.

    command_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import functools
import json
import os
import pathlib
import re
import resource
import subprocess
import sys
import tempfile
import time
import unittest

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = SHARE / "demo.atlas"
DEMO_ROWS = SHARE.parents[1] / "tools" / "demo_region" / "demo-region.txt"


def run(*words, **keywords):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    environment.update(keywords.pop("environment", {}))
    return subprocess.run([OMNIWAY, *map(str, words)], capture_output=True, text=True, timeout=120, check=False,
                          env=environment, **keywords)


@functools.cache
def plan(*words):
    """Each question is asked once; that it has the same answer every time is a test of its own (Answers)."""
    return run("plan", *words, "--atlas", DEMO)


NOTES = {"$schema", "$defs", "title", "description"}
RULES = {"$ref", "type", "const", "enum", "minimum", "properties", "patternProperties", "required", "additionalProperties",
         "items"}
TYPES = {"object": dict, "array": list, "string": str, "number": (int, float), "integer": int, "boolean": bool,
         "null": type(None)}


def schema_of(kind):
    return json.loads((ROOT / "api" / f"{kind.replace('_', '-')}.schema.json").read_text())


def check_schema(value, schema, where="$", whole=None):
    """The part of JSON Schema (2020-12) that api/ uses; returns the places that do not fit. Another rule is refused, so that
    none is passed over unseen."""
    whole = schema if whole is None else whole
    faults = [f"{where}: the rule {rule} is not known here" for rule in schema.keys() - NOTES - RULES]
    if "$ref" in schema:
        faults += check_schema(value, whole["$defs"][schema["$ref"].removeprefix("#/$defs/")], where, whole)
    kinds = schema.get("type")
    if kinds is not None:
        allowed = [kinds] if isinstance(kinds, str) else kinds
        fits = any(isinstance(value, TYPES[kind]) and not (kind in ("number", "integer") and isinstance(value, bool))
                   for kind in allowed)
        if not fits:
            return [*faults, f"{where}: {value!r} is no {kinds}"]
    if "const" in schema and value != schema["const"]:
        faults.append(f"{where}: {value!r} is not {schema['const']!r}")
    if "enum" in schema and value not in schema["enum"]:
        faults.append(f"{where}: {value!r} is none of {schema['enum']}")
    if "minimum" in schema and value < schema["minimum"]:
        faults.append(f"{where}: {value!r} is below {schema['minimum']}")
    if isinstance(value, dict):
        for name in schema.get("required", []):
            if name not in value:
                faults.append(f"{where}: {name} is missing")
        for name, part in value.items():
            rules = [schema["properties"][name]] if name in schema.get("properties", {}) else []
            rules += [rule for form, rule in schema.get("patternProperties", {}).items() if re.search(form, name)]
            for rule in rules:
                faults += check_schema(part, rule, f"{where}.{name}", whole)
            if not rules and schema.get("additionalProperties", True) is False:
                faults.append(f"{where}: {name} is not in the schema")
    if isinstance(value, list) and "items" in schema:
        for place, part in enumerate(value):
            faults += check_schema(part, schema["items"], f"{where}[{place}]", whole)
    return faults


def places_of_objects(value, where="$"):
    """Every object in a document, with where it stands as check_schema tells it."""
    if isinstance(value, dict):
        yield where, value
        for name, part in value.items():
            yield from places_of_objects(part, f"{where}.{name}")
    elif isinstance(value, list):
        for place, part in enumerate(value):
            yield from places_of_objects(part, f"{where}[{place}]")


class BadInput(unittest.TestCase):
    def refuses(self, result, *words):
        self.assertEqual(result.returncode, 2, result.stderr + result.stdout)
        self.assertEqual(result.stdout, "")
        for word in words:
            self.assertIn(word, result.stderr)
        for line in result.stderr.strip().splitlines():
            self.assertTrue(line.startswith("omniway: "), line)

    def test_a_mistyped_airport_names_its_near_matches(self):
        self.refuses(plan("XMRA", "XPRI"), "XPRI", "did you mean XPIR")

    def test_the_same_airport_twice_is_refused(self):
        self.refuses(plan("XMRA", "XMRA"), "XMRA", "two airports")

    def test_a_wind_of_400_knots_is_refused_with_the_allowed_range(self):
        self.refuses(plan("XMRA", "XPIR", "--wind", "270/400"), "--wind", "0 to 250 kt")

    def test_an_altitude_above_the_ceiling_names_the_ceiling(self):
        self.refuses(plan("XMRA", "XPIR", "--altitude", "40000"), "--altitude", "ceiling")

    def test_an_unknown_aircraft_names_those_there_are(self):
        self.refuses(plan("XMRA", "XPIR", "--aircraft", "singel"), "did you mean single")

    def test_an_unknown_station_out_of_service_is_refused(self):
        self.refuses(plan("XMRA", "XPIR", "--without", "XZZ"), "--without", "XZZ")

    def test_an_aircraft_file_with_an_unknown_key_is_refused_with_its_line(self):
        file = ROOT / "tests" / "broken" / "aircraft-unknown-key.toml"
        self.refuses(run("aircraft", "check", file), "aircraft-unknown-key.toml:", "did you mean")

    def test_a_file_of_minima_without_a_column_is_refused_with_its_place(self):
        file = ROOT / "tests" / "broken" / "minima-column-missing.csv"
        self.refuses(plan("XDOV", "XMRA", "--minima", file), "minima-column-missing.csv:1:1", "category", "read.column_missing")
        self.refuses(plan("XDOV", "XMRA", "--minima", "/no/such/minima.csv"), "/no/such/minima.csv", "read.file_missing")

    def test_a_missing_file_is_refused(self):
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder) / "out.atlas"
            self.refuses(run("import", "/no/such/file.txt", "--out", out), "/no/such/file.txt")
            self.assertEqual(os.listdir(folder), [])

    def test_a_binary_file_is_refused_and_nothing_is_written(self):
        with tempfile.TemporaryDirectory() as folder:
            binary = pathlib.Path(folder) / "binary"
            binary.write_bytes(bytes(range(256)) * 64)
            self.refuses(run("import", binary, "--out", pathlib.Path(folder) / "out.atlas"), "binary")
            self.assertEqual(os.listdir(folder), ["binary"])

    def test_an_atlas_cut_in_half_is_refused(self):
        with tempfile.TemporaryDirectory() as folder:
            half = pathlib.Path(folder) / "half.atlas"
            half.write_bytes(DEMO.read_bytes()[: DEMO.stat().st_size // 2])
            self.refuses(run("plan", "XMRA", "XPIR", "--atlas", half), "half.atlas", "import")

    def test_a_coastline_cut_short_is_refused_with_its_place(self):
        with tempfile.TemporaryDirectory() as folder:
            coast = pathlib.Path(folder) / "coast.geojson"
            coast.write_bytes(DEMO_ROWS.with_name("demo-coastline.geojson").read_bytes()[:5000])
            out = pathlib.Path(folder) / "new.atlas"
            self.refuses(run("import", DEMO_ROWS, coast, "--out", out), "coast.geojson:2:", "coastline.not_json")
            self.assertFalse(out.exists())

    def test_a_faulty_ring_of_a_coastline_is_told_and_the_others_are_used(self):
        with tempfile.TemporaryDirectory() as folder:
            coast = pathlib.Path(folder) / "coast.geojson"
            coast.write_text('{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]],\n[[[0,0],[1,0],[1,91],[0,0]]]]}')
            done = run("import", DEMO_ROWS, coast, "--out", pathlib.Path(folder) / "new.atlas", "--list")
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertRegex(done.stdout, r"1 coastlines\n\d+ rows, \d+ used\n")
            self.assertIn("coast.geojson:2:18:/coordinates/1/0/2/1: latitude 91 degrees is outside the allowed range -90 to 90 "
                          "[coastline.out_of_range]", done.stdout)

    def test_a_missing_atlas_says_how_to_make_one(self):
        self.refuses(run("plan", "XMRA", "XPIR", "--atlas", "/no/such.atlas"), "/no/such.atlas", "import")

    def test_a_failed_import_leaves_the_old_atlas_whole(self):
        with tempfile.TemporaryDirectory() as folder:
            old = pathlib.Path(folder) / "old.atlas"
            old.write_bytes(DEMO.read_bytes())
            self.refuses(run("import", "/no/such/file.txt", "--out", old))
            self.assertEqual(old.read_bytes(), DEMO.read_bytes())

    def test_an_import_without_room_is_refused_and_leaves_the_old_atlas(self):
        # A limit on the size of files stands in for a full disk; atlas_write_test.cpp has a real one.
        with tempfile.TemporaryDirectory() as folder:
            old = pathlib.Path(folder) / "old.atlas"
            old.write_bytes(DEMO.read_bytes())
            room = 60000  # less than half of what the rows alone take
            self.refuses(run("import", DEMO_ROWS, "--out", old,
                             preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))), "no room", "old.atlas")
            self.assertEqual(os.listdir(folder), ["old.atlas"])
            self.assertEqual(old.read_bytes(), DEMO.read_bytes())

    def test_a_killed_import_leaves_the_old_atlas_and_the_next_one_cleans_up(self):
        with tempfile.TemporaryDirectory() as folder:
            old = pathlib.Path(folder) / "old.atlas"
            old.write_bytes(DEMO.read_bytes())
            killed = 0
            for wait_ms in range(0, 60, 4):
                with subprocess.Popen([OMNIWAY, "import", DEMO_ROWS, "--out", old], stdout=subprocess.DEVNULL) as process:
                    time.sleep(wait_ms / 1000)
                    process.kill()
                killed += process.returncode != 0
                self.assertEqual(run("atlas", "verify", old).returncode, 0)
            self.assertGreater(killed, 0)
            self.assertEqual(run("import", DEMO_ROWS, "--out", old).returncode, 0)
            self.assertEqual(os.listdir(folder), ["old.atlas"])

    def test_an_unknown_option_is_refused(self):
        self.refuses(plan("XMRA", "XPIR", "--speed", "100"), "--help")

MINIMA = """airport,procedure,category,landing,kind,altitude_ft,visibility_sm,with_fix,remark
XMRA,I27,,straight-in,DA,292,1/2,,
XMRA,I72,,straight-in,DA,292,1/2,,
XMRA,L27,Q,straight-in,MDA,480,1,,
"""


class Minima(unittest.TestCase):
    """Approach minima of a user's file (docs/minima-file.md)."""

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.file = pathlib.Path(self.folder.name) / "minima.csv"
        self.file.write_text(MINIMA)

    def test_a_minimum_that_is_given_is_shown_and_no_longer_asked_for(self):
        without = plan("XDOV", "XMRA", "--aircraft", "single", "--wind", "270/15")
        self.assertIn("its minima are not in the data", without.stdout)
        given = plan("XDOV", "XMRA", "--aircraft", "single", "--wind", "270/15", "--minima", self.file)
        self.assertEqual(given.returncode, 0, given.stderr)
        self.assertNotIn("its minima are not in the data", given.stdout)
        self.assertIn("DA 292 ft, 1/2 SM (minima.csv:2)", given.stdout)
        self.assertIn("292 ft", given.stdout)

    def test_rows_that_are_not_used_are_findings_with_their_place(self):
        result = plan("XDOV", "XMRA", "--aircraft", "single", "--wind", "270/15", "--minima", self.file, "--why")
        said = " ".join(result.stdout.split())
        self.assertIn("minima.csv:3", said)
        self.assertIn("did you mean I27?", said)
        self.assertIn("minima.csv:4:10", said)

    def test_the_json_gives_it_and_ranks_the_approaches(self):
        result = plan("XDOV", "XMRA", "--aircraft", "single", "--wind", "270/15", "--minima", self.file, "--json")
        answer = json.loads(result.stdout)
        self.assertEqual(check_schema(answer, schema_of("plan")), [])
        self.assertEqual(answer["flight"]["minimum"], {
            "kind": "DA", "landing": "straight-in", "altitude_msl_ft": 292.0, "visibility_sm": 0.5, "with_fix": "",
            "remark": "", "from": "minima.csv:2"})
        self.assertEqual(answer["flight"]["steps"][-1]["end"]["altitude_msl_ft"], 292.0)
        ranked = [each for each in answer["approaches"] if each["rank"] is not None]
        self.assertEqual([each["rank"] for each in ranked], list(range(1, len(ranked) + 1)))
        self.assertEqual(ranked[0]["why_not"], "")
        for each in ranked[1:]:
            self.assertNotEqual(each["why_not"], "")
            self.assertTrue((each["minimum"] is None) != (each["typical_minimum_msl_ft"] is None))

    def test_a_wind_from_the_east_circles_or_says_which_runway_it_favours(self):
        result = plan("XDOV", "XMRA", "--aircraft", "twin", "--wind", "090/12", "--json")
        answer = json.loads(result.stdout)
        self.assertIn("runway.wind_favours_other", [finding["code"] for finding in answer["findings"]])


class Answers(unittest.TestCase):
    def test_flyable_is_0_and_not_flyable_is_1(self):
        self.assertEqual(plan("XMRA", "XPIR", "--wind", "270/20").returncode, 0)
        self.assertEqual(plan("XMRA", "XICO", "--aircraft", "trainer").returncode, 1)

    def test_every_output_that_could_be_flown_from_carries_the_caution(self):
        self.assertIn("Not for real-world navigation", plan("XMRA", "XPIR").stdout)
        self.assertIn("Not for real-world navigation", json.loads(plan("XMRA", "XPIR", "--json").stdout)["caution"])

    def test_the_same_question_has_the_same_bytes(self):
        words = ("XMRA", "XPIR", "--wind", "270/20", "--date", "2026-11-25", "--json")
        self.assertEqual(plan(*words).stdout, run("plan", *words, "--atlas", DEMO).stdout)

    def test_the_rnav_short_cut_is_refused_by_name_and_never_flown(self):
        document = json.loads(plan("XMRA", "XDOV", "--json").stdout)
        self.assertTrue(any(each["code"] == "airway.area_navigation" for each in document["refused"]))
        self.assertFalse(any(step["via"].startswith(("T", "Q")) for step in document["flight"]["steps"]))

    def test_a_station_out_of_service_never_appears(self):
        text = plan("XMRA", "XPIR", "--json").stdout
        used = {step["guidance"]["station"]["ident"] for step in json.loads(text)["flight"]["steps"]
                if "station" in step["guidance"]}
        self.assertGreaterEqual(len(used), 5)
        for ident in sorted(used):
            result = plan("XMRA", "XPIR", "--without", ident, "--json")
            self.assertNotIn(f'"ident": "{ident}"', result.stdout)
            self.assertNotIn(f" {ident} ", json.dumps(json.loads(result.stdout)["flight"]))

    def test_a_lower_cruising_altitude_than_the_minimum_names_the_minimum(self):
        document = json.loads(plan("XMRA", "XKEL", "--altitude", "3000", "--json").stdout)
        self.assertEqual(document["verdict"], "not flyable")
        self.assertRegex(document["would_unblock"][0], r"^another cruising altitude \([0-9]+ ft\)$")

    def test_show_prints_each_kind_of_thing(self):
        for ident, word in (("XMR", "declination"), ("V12", "NM"), ("XMRA", "runway"), ("XMRA/I27", "CF")):
            result = run("show", ident, "--atlas", DEMO)
            self.assertEqual(result.returncode, 0, result.stderr)
            self.assertIn(word, result.stdout if word != "runway" else result.stdout.replace("RW", "runway"))

    def test_an_atlas_tells_of_itself_and_is_whole(self):
        info = json.loads(run("atlas", "info", DEMO, "--json").stdout)
        self.assertEqual(info["counts"]["airports"], 15)
        self.assertEqual(run("atlas", "verify", DEMO).returncode, 0)

    def test_the_atlas_is_found_by_the_environment(self):
        result = run("plan", "XMRA", "XPIR", environment={"OMNIWAY_ATLAS": str(DEMO)})
        self.assertEqual(result.returncode, 0, result.stderr)

    def test_every_command_has_help_with_an_example(self):
        for command in (["import"], ["plan"], ["show"], ["atlas", "info"], ["atlas", "verify"], ["aircraft", "check"],
                        ["hear"]):
            result = run(*command, "--help")
            self.assertEqual(result.returncode, 0)
            self.assertIn("Example", result.stdout)


# Stations of the kinds that the demo region has none of, as OurAirports publishes its tables; the places are invented.
NAVAIDS = """ident,name,type,frequency_khz,latitude_deg,longitude_deg,elevation_ft,dme_channel,slaved_variation_deg,\
magnetic_variation_deg,usageType,power,associated_airport
XTA,Tacan,TACAN,113500,40.5,-169,100,082X,9.0,8.7,BOTH,HIGH,
XVO,No declination,VOR-DME,113300,40.6,-169,100,080X,,8.7,LO,,
XND,Beacon,NDB-DME,365,40.7,-169,,082X,,8.7,BOTH,MEDIUM,
XBA,Bad,NDB,99,40.7,-169,,,,8.7,BOTH,MEDIUM,
"""
AIRPORTS = """ident,type,name,latitude_deg,longitude_deg,elevation_ft,gps_code
XMRA,medium_airport,Xamarra,40.338,-171.032,92,XMRA
XQAA,small_airport,Xaqua,41,-170,,
"""
RUNWAYS = """airport_ident,length_ft,closed,le_ident,le_latitude_deg,le_longitude_deg,le_elevation_ft,le_heading_degT,\
le_displaced_threshold_ft,he_ident,he_latitude_deg,he_longitude_deg,he_elevation_ft,he_heading_degT,he_displaced_threshold_ft
XQAA,4000,0,09,,,,90,,27,,,,270,
"""
FREQUENCIES = """airport_ident,type,description,frequency_mhz
XQAA,TWR,Tower,118.3
"""


class Json(unittest.TestCase):
    """Every command with --json, with good and bad input, against api/."""

    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        folder = pathlib.Path(cls.folder.name)
        cls.tables = []
        for name, text in (("navaids", NAVAIDS), ("airports", AIRPORTS), ("runways", RUNWAYS),
                           ("frequencies", FREQUENCIES)):
            cls.tables.append(folder / f"{name}.csv")
            cls.tables[-1].write_text(text)
        # Through a copy with a row cut short and one of an airway lost, so that the import has something of every sort to tell.
        rows = (OMNIWAY.parent / "tools" / "demo_region" / "demo-region.txt").read_text(encoding="latin-1")
        cls.region = folder / "region.txt"
        lost = next(row for row in rows.splitlines(True) if row[4:6] == "ER" and row[13:17] == "V12 " and row[29:34] == "XEMIR")
        cls.region.write_text(rows.replace(lost, "") + "SPACP XMRAXA\n", encoding="latin-1")
        cls.both = folder / "both.atlas"
        cls.imported = run("import", cls.region, *cls.tables, "--out", cls.both, "--json")

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def document(self, result, kind, status=0):
        self.assertEqual(result.returncode, status, result.stderr + result.stdout)
        document = json.loads(result.stdout)
        self.assertEqual(document["kind"], kind)
        self.assertEqual(check_schema(document, schema_of(kind)), [])
        return document

    def shown(self, ident, atlas=None):
        found = self.document(run("show", ident, "--atlas", atlas or DEMO, "--json"), "show")["found"]
        for each in found:
            self.assertEqual(sorted(each), sorted({"kind", each["kind"], "title", "figures"}))
        return [each[each["kind"]] | {"shown_as": each["kind"]} for each in found]

    def test_a_plan_fits_its_schema(self):
        for words in (("XMRA", "XPIR"), ("XMRA", "XDOV", "--wind", "270/20"), ("XSUL", "XNOR"), ("XPIR", "XGIL"),
                      ("XNOR", "XBRE"), ("XDOV", "XMRA", "--why")):
            self.document(plan(*words, "--json"), "plan", plan(*words).returncode)
        self.document(plan("XMRA", "XICO", "--aircraft", "trainer", "--json"), "plan", 1)

    def test_an_import_fits_its_schema_and_its_rows_add_up(self):
        document = self.document(self.imported, "import")
        self.assertEqual(document["rows"], document["rows_used"] + sum(document["rows_not_used"].values()))
        self.assertTrue(document["merged"])
        codes = {each["code"] for each in document["diagnostics"]}
        self.assertLessEqual({"read.wrong_row_length", "read.out_of_range", "navdata.airway_hole"}, codes)
        listed = set(re.findall(r"^\| `((?:read|remark|navdata)\.\w+)`", (ROOT / "docs" / "errors.md").read_text(), re.M))
        self.assertLessEqual(codes | document["rows_not_used"].keys(), listed)

    def test_what_an_atlas_tells_of_itself_fits_its_schema(self):
        for atlas in (DEMO, self.both):
            info = self.document(run("atlas", "info", atlas, "--json"), "atlas_info")
            verified = self.document(run("atlas", "verify", atlas, "--json"), "atlas_verify")
            self.assertEqual((info["atlas"], info["checksum"]), (verified["atlas"], verified["checksum"]))
        self.assertTrue(verified["unresolved"])

    def test_each_shipped_aircraft_fits_its_schema(self):
        for name in ("trainer", "single", "twin", "jet"):
            self.document(run("aircraft", "check", name, "--json"), "aircraft_check")

    def test_the_version_fits_its_schema(self):
        version = self.document(run("--version", "--json"), "version")["version"]
        self.assertEqual(run("--version").stdout, f"omniway {version}\n")

    def test_a_station_of_each_kind_fits_its_schema(self):
        kinds = set()
        for atlas in (DEMO, self.both):
            counts = json.loads(run("atlas", "info", atlas, "--json").stdout)["counts"]
            rows = (OMNIWAY.parent / "tools" / "demo_region" / "demo-region.txt").read_text(encoding="latin-1").splitlines()
            idents = {row[13:17].strip() for row in rows if row[4:6] in ("D ", "DB", "PN") or row[4] + row[12] == "PI"}
            idents |= {"XTA", "XVO", "XND"} if atlas == self.both else set()
            found = [each for ident in sorted(idents) for each in self.shown(ident, atlas) if each["shown_as"] == "station"]
            for kind in schema_of("show")["$defs"]["station"]["properties"]["kind"]["enum"]:
                self.assertEqual(sum(each["kind"] == kind for each in found), counts.get(kind, 0), kind)
            kinds |= {each["kind"] for each in found}
            for each in found:
                self.assertNotEqual("frequency_khz" in each, "frequency_mhz" in each, each)
        self.assertLessEqual({"VOR", "VOR/DME", "TACAN", "DME", "NDB", "LOC", "ILS", "ILS/DME"}, kinds)

    def test_a_station_is_shown_with_what_is_dialled_and_heard(self):
        vor, tacan, beacon = (next(each for each in self.shown(ident, self.both) if each["kind"] == kind)
                              for ident, kind in (("XVO", "VOR/DME"), ("XTA", "TACAN"), ("XND", "NDB")))
        # ICAO Annex 10: 112.30 MHz is 70X, and each tenth of a megahertz one channel more.
        self.assertEqual((vor["dme_channel"], tacan["dme_channel"]), ("80X", "82X"))
        self.assertNotIn("dme_channel", beacon)
        # ITU-R M.1677-1: dot 1, dash 3, 1 between signals, 3 between letters; at 7 words a minute a dot is 1.2 / 7 s.
        for station in (vor, tacan, beacon):
            letters = station["morse"].split()
            dots = sum(3 if signal == "-" else 1 for letter in letters for signal in letter)
            dots += sum(len(letter) - 1 for letter in letters) + 3 * (len(letters) - 1)
            self.assertAlmostEqual(station["morse_time_s"], dots * 1.2 / 7, delta=0.05)
        # AIM table 1-1-1: class H, and of an unknown class the smallest, T.
        self.assertEqual([row["radius_nm"] for row in tacan["dme_service_volume"]], [40, 100, 130])
        self.assertEqual((vor["service_class"], [row["radius_nm"] for row in vor["service_volume"]]), ("unknown", [25]))
        ils = self.shown("IXMR", self.both)[0]
        self.assertTrue(329.15 <= ils["glideslope"]["frequency_mhz"] <= 335.0)
        text = run("show", "XVO", "--atlas", self.both).stdout
        for words in ("80X (asked on 1104 MHz, answers on 1167 MHz)", "again within 30 s",
                      "not given (taken as the smallest)", "25 NM from 1,000 to 12,000 ft above it"):
            self.assertIn(words, text)

    def test_each_other_kind_of_thing_fits_its_schema(self):
        for ident, kind in (("XOBAN", "fix"), ("XMRA", "airport"), ("XQAA", "airport"), ("XMRA/RW27", "runway"),
                            ("XMRA/I27", "procedure"), ("XMRA/D15", "procedure"), ("XKEL/VOR-A", "procedure"),
                            ("V12", "airway"), ("V30", "airway"), ("T301", "airway"), ("XQAA/RW09", "runway")):
            things = self.shown(ident, self.both)
            self.assertIn(kind, {each["shown_as"] for each in things}, ident)
        airport = self.shown("XQAA", self.both)[0]
        self.assertEqual((len(airport["runways"]), airport["elevation_msl_ft"]), (2, None))
        self.assertEqual(airport["communications"], [{"type": "TWR", "name": "Tower", "frequency_mhz": 118.3}])

    def test_the_page_on_importing_quotes_what_is_printed(self):
        page = (ROOT / "docs" / "import.md").read_text()
        quoted = page.partition("    $ omniway import demo-region.txt --out demo.atlas --list\n")[2].partition("\n\n")[0]
        out = pathlib.Path(self.folder.name) / "demo.atlas"
        region = OMNIWAY.parent / "tools" / "demo_region"
        printed = run("import", "demo-region.txt", "--out", out, "--list", cwd=region).stdout.replace(str(out), "demo.atlas")
        size = re.compile(r"\d+ bytes")  # of SQLite's own making
        self.assertEqual([size.sub("", line.strip()) for line in quoted.splitlines()],
                         [size.sub("", line.strip()) for line in printed.splitlines()])

    def test_an_airway_that_lost_a_row_is_told_and_shown_in_two_parts(self):
        told = [each for each in json.loads(self.imported.stdout)["diagnostics"] if each["code"] == "navdata.airway_hole"]
        self.assertEqual(len(told), 1)
        self.assertIn("V12 is not joined", told[0]["message"])
        self.assertRegex(told[0]["where"], r"region\.txt:\d+$")
        self.assertEqual(len(self.shown("V12", self.both)), len(self.shown("V12")) + 1)

    def test_text_and_json_show_the_same_things(self):
        for ident in ("XMR", "XMRA", "XMRA/RW27", "V12", "XMRA/I27", "XOBAN"):
            text = [line for line in run("show", ident, "--atlas", DEMO).stdout.splitlines() if line[0] != " "]
            self.assertEqual(len(text), len(self.shown(ident)), ident)

    def test_how_a_fix_is_told_fits_its_schema(self):
        for words in (("XOBAN",), ("XOBAN", "--aircraft", "twin"), ("XOBAN", "--track", "55", "--criteria", "pans-ops"),
                      ("XOBAN", "--track", "200", "--altitude", "8000"), ("XMR", "--use", "holding"), ("XTA",)):
            document = self.document(run("show", *words, "--telling", "--atlas", DEMO, "--json"), "telling")
            self.assertTrue(document["points"], words)
            for line in (line for point in document["points"] for line in point["lines"]):
                errors = [way["along_error_nm"] for way in line["ways"]]
                self.assertTrue(all(error >= 0 for error in errors))
                self.assertLessEqual(sum(way.get("used_by_plan", False) for way in line["ways"]), 1)

    def test_wider_criteria_enclose_wider_areas(self):
        areas = {}
        for criteria in ("terps", "pans-ops"):
            document = json.loads(run("show", "XOBAN", "--telling", "--criteria", criteria, "--altitude", "6000", "--atlas",
                                      DEMO, "--json").stdout)
            for line in document["points"][0]["lines"]:
                for way in line["ways"]:
                    areas.setdefault((line["from"], way["text"]), []).append(way["area"]["size_square_nm"])
        self.assertTrue(areas)
        for way, (narrow, wide) in areas.items():
            self.assertLess(narrow, wide, way)

    def test_a_plan_takes_the_best_way_that_is_aboard(self):
        for aircraft in ("trainer", "single", "twin", "jet"):
            document = json.loads(run("show", "XOBAN", "--telling", "--aircraft", aircraft, "--atlas", DEMO, "--json").stdout)
            for line in document["points"][0]["lines"]:
                aboard = [way for way in line["ways"] if way["lacks"] is None]
                self.assertEqual([way["used_by_plan"] for way in aboard], [i == 0 for i in range(len(aboard))])

    def test_every_command_tells_bad_input_as_json_too(self):
        no_atlas = ("--atlas", "/no/such.atlas", "--json")
        for words, code in (
                ((), "cli.arguments"), (("fly",), "cli.arguments"), (("plan",), "cli.arguments"),
                (("plan", "XMRA", "XPIR", "--speed", "100"), "cli.arguments"), (("show",), "cli.arguments"),
                (("atlas",), "cli.arguments"), (("plan", "XMRA", "XPRI", "--atlas", DEMO), "app.unknown_ident"),
                (("plan", "XMRA", "XMRA", "--atlas", DEMO), "app.same_airport"),
                (("plan", "XMRA", "XPIR", "--atlas", DEMO, "--date", "yesterday"), "cli.date"),
                (("plan", "XMRA", "XPIR", *no_atlas), "atlas.missing"), (("show", "XMRA", *no_atlas), "atlas.missing"),
                (("show", "XMRRA", "--atlas", DEMO), "app.unknown_ident"),
                (("show", "XMRA/I72", "--atlas", DEMO), "app.unknown_ident"),
                (("show", "RW09", "--atlas", DEMO), "app.unknown_ident"),
                (("show", "XOBAM", "--telling", "--atlas", DEMO), "app.unknown_ident"),
                (("show", "XMRA", "--telling", "--atlas", DEMO), "app.not_a_fix"),
                (("show", "XOBAN", "--telling", "--criteria", "faa", "--atlas", DEMO), "app.unknown_word"),
                (("show", "XOBAN", "--telling", "--use", "final", "--atlas", DEMO), "app.unknown_word"),
                (("show", "XOBAN", "--telling", "--track", "361", "--atlas", DEMO), "app.out_of_range"),
                (("show", "XOBAN", "--telling", "--altitude", "nan", "--atlas", DEMO), "app.out_of_range"),
                (("show", "XOBAN", "--telling", "--aircraft", "singel", "--atlas", DEMO), "app.unknown_aircraft"),
                (("show", "XOBAN", "--altitude", "5000", "--atlas", DEMO), "cli.arguments"),
                (("import", "/no/such.txt"), "read.file_missing"), (("atlas", "info", "/no/such"), "atlas.missing"),
                (("atlas", "verify", self.region), "atlas.foreign"),
                (("aircraft", "check", ROOT / "tests" / "broken" / "aircraft-many.toml"), "aircraft.missing_key")):
            result = run(*words, "--json", environment={"OMNIWAY_ATLAS": str(pathlib.Path(self.folder.name) / "none")})
            errors = self.document(result, "errors", 2)["errors"]
            self.assertIn(code, {each["code"] for each in errors}, words)
            told = result.stderr.strip().splitlines()
            self.assertEqual(len(told), len(errors), words)


class Cards(unittest.TestCase):
    """The card as a document of its own (docs/card.md)."""

    FLIGHT = ("XDOV", "XMRA", "--wind", "270/20", "--date", "2026-11-25")

    def test_a_card_is_written_whole_and_fits_its_schema(self):
        with tempfile.TemporaryDirectory() as folder:
            file = pathlib.Path(folder) / "card.json"
            result = plan(*self.FLIGHT, "--card", file)
            self.assertEqual(result.returncode, 0, result.stderr)
            self.assertIn("lined up", result.stdout)
            self.assertEqual(os.listdir(folder), ["card.json"])
            card = json.loads(file.read_text())
        self.assertEqual(check_schema(card, schema_of("card")), [])
        self.assertEqual(plan(*self.FLIGHT, "--card", "-").stdout, json.dumps(card, indent=2, ensure_ascii=False) + "\n")

    def test_the_plan_carries_the_same_card_beside_its_flight_track(self):
        document = json.loads(plan(*self.FLIGHT, "--json").stdout)
        card = json.loads(plan(*self.FLIGHT, "--card", "-").stdout)
        self.assertEqual(document["flight"]["card"], card["card"])
        self.assertEqual(document["flight"]["steps"], card["track"]["steps"])
        self.assertEqual([step["number"] for step in card["card"]["steps"] + card["card"]["missed"]],
                         [step["number"] for step in card["track"]["steps"] + card["track"]["missed_approach"]])
        self.assertEqual(check_schema(document, schema_of("plan")), [])

    def test_where_there_is_no_flight_no_card_is_written_and_it_is_said(self):
        with tempfile.TemporaryDirectory() as folder:
            result = plan("XMRA", "XICO", "--aircraft", "trainer", "--card", pathlib.Path(folder) / "card.json")
            self.assertIn("\nNOT FLYABLE\n", result.stdout)
            self.assertNotIn("lined up", result.stdout)
            self.assertEqual(result.returncode, 1)
            self.assertEqual(os.listdir(folder), [])
            self.assertIn("no card is written", result.stderr)

    def test_two_documents_in_one_place_are_refused(self):
        for words in (("--json", "--card", "-"), ("--json", "--card-page", "-"), ("--json", "--card", "-", "--card-page", "-")):
            result = plan(*self.FLIGHT, *words)
            self.assertEqual(result.returncode, 2)
            self.assertEqual(json.loads(result.stdout)["kind"], "errors")
        result = plan(*self.FLIGHT, "--card", "-", "--card-page", "-")
        self.assertEqual((result.returncode, result.stdout), (2, ""))
        self.assertIn("--card-page and --card - both print a document", result.stderr)

    def test_no_line_of_a_card_passes_100_columns(self):
        for words in (self.FLIGHT, ("XDOV", "XKEL", "--aircraft", "twin"), ("XMRA", "XPIR", "--aircraft", "jet")):
            for line in plan(*words, "--minimum", "5000").stdout.splitlines():
                self.assertLessEqual(len(line), 100, line)

    def test_what_cards_and_plans_share_is_described_alike(self):
        card, whole = schema_of("card")["$defs"], schema_of("plan")["$defs"]
        for name in card.keys() & whole.keys():
            self.assertEqual(card[name], whole[name], name)
        self.assertGreater(len(card.keys() & whole.keys()), 20)


class Schemas(unittest.TestCase):
    """What api/ promises of itself, and that the checks above can fail."""

    def parts(self, schema, where="$"):
        yield where, schema
        for group in ("properties", "patternProperties", "$defs"):
            for name, part in schema.get(group, {}).items():
                yield from self.parts(part, f"{where}.{name}")
        if "items" in schema:
            yield from self.parts(schema["items"], f"{where}[]")

    def test_every_schema_is_closed_and_describes_every_property_with_its_unit(self):
        units = {"_deg": "degree", "_nm": "nautical mile", "_ft": "feet", "_kt": "knot", "_lb": "pound", "_min": "minute",
                 "_s": "second", "_lb_per_h": "pounds an hour", "_mhz": "megahertz", "_khz": "kilohertz", "_bytes": "byte", "_year": "year", "_sm": "statute mile", "_m": "metre",
                 "_points": "point", "_share": "share", "_squared": "squared", "_places": "places"}
        for file in sorted((ROOT / "api").glob("*.schema.json")):
            schema = json.loads(file.read_text())
            self.assertEqual(schema["properties"]["schema_version"]["const"], 1, file)
            for where, part in self.parts(schema):
                where = f"{file.name} {where}"
                self.assertTrue(part.get("description", "").endswith((".", "?")), where)
                kinds = part.get("type", [])
                if "object" in ([kinds] if isinstance(kinds, str) else kinds):
                    self.assertIs(part["additionalProperties"], False, where)
                name = where.rpartition(".")[2]
                if "number" in kinds and not where.endswith("[]"):
                    unit = next((unit for ending, unit in units.items() if name.endswith(ending)), None)
                    self.assertIsNotNone(unit, f"{where} has no unit in its name")
                    self.assertIn(unit, part["description"], where)

    def test_a_property_planted_anywhere_is_found(self):
        for words in (("show", "XMRA/I27", "--atlas", DEMO), ("show", "IXDV", "--atlas", DEMO),
                      ("show", "XOBAN", "--telling", "--aircraft", "twin", "--atlas", DEMO),
                      ("plan", "XMRA", "XPIR", "--atlas", DEMO), ("atlas", "info", DEMO), ("atlas", "verify", DEMO),
                      ("aircraft", "check", "single"), ("show", "XZZZZ", "--atlas", DEMO), ("--version",)):
            document = json.loads(run(*words, "--json").stdout)
            schema = schema_of(document["kind"])
            self.assertEqual(check_schema(document, schema), [])
            # Into all of them at once, and each is told at its place: one walk for a document in place of one for each object.
            places = list(places_of_objects(document))
            for _, part in places:
                part["planted"] = 1
            self.assertEqual(sorted(check_schema(document, schema)),
                             sorted(f"{where}: planted is not in the schema" for where, _ in places))

    def test_a_wrong_type_a_missing_property_and_an_unknown_rule_are_found(self):
        document = json.loads(run("aircraft", "check", "single", "--json").stdout)
        schema = schema_of("aircraft_check")
        for change in ({"navigation_receivers": "two"}, {"navigation_receivers": -1}, {"dme": 1}, {"schema_version": 2}):
            self.assertEqual(len(check_schema(document | change, schema)), 1, change)
        self.assertEqual(len(check_schema({k: v for k, v in document.items() if k != "dme"}, schema)), 1)
        self.assertEqual(len(check_schema(document, schema | {"oneOf": []})), 1)

    def test_every_document_has_its_row_in_the_index(self):
        index = (ROOT / "docs" / "json.md").read_text()
        for file in (ROOT / "api").glob("*.json"):
            self.assertIn(f"(../api/{file.name})", index)


if __name__ == "__main__":
    unittest.main()
