#!/usr/bin/env python3
"""The program as its user meets it: exit statuses, sentences on bad input, nothing written, JSON that fits api/.

    command_test.py OMNIWAY SHARE_FOLDER [unittest arguments]
"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

OMNIWAY = pathlib.Path(sys.argv.pop(1)).resolve()
SHARE = pathlib.Path(sys.argv.pop(1)).resolve()
ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = SHARE / "demo.atlas"


def run(*words, **keywords):
    environment = {key: value for key, value in os.environ.items() if key not in ("OMNIWAY_ATLAS", "XDG_DATA_HOME")}
    environment.update(keywords.pop("environment", {}))
    return subprocess.run([OMNIWAY, *map(str, words)], capture_output=True, text=True, timeout=120, check=False,
                          env=environment, **keywords)


def plan(*words):
    return run("plan", *words, "--atlas", DEMO)


def check_schema(value, schema, where="$"):
    """The part of JSON Schema that api/ uses; returns the places that do not fit."""
    faults = []
    kinds = schema.get("type")
    names = {"object": dict, "array": list, "string": str, "number": (int, float), "integer": int, "boolean": bool,
             "null": type(None)}
    if kinds is not None:
        allowed = [kinds] if isinstance(kinds, str) else kinds
        fits = any(isinstance(value, names[kind]) and not (kind in ("number", "integer") and isinstance(value, bool))
                   for kind in allowed)
        if not fits:
            return [f"{where}: {value!r} is no {kinds}"]
    if "const" in schema and value != schema["const"]:
        faults.append(f"{where}: {value!r} is not {schema['const']!r}")
    if "enum" in schema and value not in schema["enum"]:
        faults.append(f"{where}: {value!r} is none of {schema['enum']}")
    if isinstance(value, dict):
        for name in schema.get("required", []):
            if name not in value:
                faults.append(f"{where}: {name} is missing")
        properties = schema.get("properties", {})
        for name, part in value.items():
            if name in properties:
                faults += check_schema(part, properties[name], f"{where}.{name}")
            elif schema.get("additionalProperties", True) is False:
                faults.append(f"{where}: {name} is not in the schema")
    if isinstance(value, list) and "items" in schema:
        for place, part in enumerate(value):
            faults += check_schema(part, schema["items"], f"{where}[{place}]")
    return faults


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

    def test_a_missing_atlas_says_how_to_make_one(self):
        self.refuses(run("plan", "XMRA", "XPIR", "--atlas", "/no/such.atlas"), "/no/such.atlas", "import")

    def test_a_failed_import_leaves_the_old_atlas_whole(self):
        with tempfile.TemporaryDirectory() as folder:
            old = pathlib.Path(folder) / "old.atlas"
            old.write_bytes(DEMO.read_bytes())
            self.refuses(run("import", "/no/such/file.txt", "--out", old))
            self.assertEqual(old.read_bytes(), DEMO.read_bytes())

    def test_an_unknown_option_is_refused(self):
        self.refuses(plan("XMRA", "XPIR", "--speed", "100"), "--help")

    def test_errors_come_as_json_when_json_is_asked_for(self):
        result = plan("XMRA", "XPRI", "--json")
        self.assertEqual(result.returncode, 2)
        document = json.loads(result.stdout)
        self.assertEqual(document["schema_version"], 1)
        self.assertEqual(document["errors"][0]["code"], "app.unknown_ident")


class Answers(unittest.TestCase):
    def test_flyable_is_0_and_not_flyable_is_1(self):
        self.assertEqual(plan("XMRA", "XPIR", "--wind", "270/20").returncode, 0)
        self.assertEqual(plan("XMRA", "XPIR", "--aircraft", "trainer").returncode, 1)

    def test_every_output_that_could_be_flown_from_carries_the_caution(self):
        self.assertIn("Not for real-world navigation", plan("XMRA", "XPIR").stdout)
        self.assertIn("Not for real-world navigation", json.loads(plan("XMRA", "XPIR", "--json").stdout)["caution"])

    def test_a_plan_fits_its_schema(self):
        schema = json.loads((ROOT / "api" / "plan.schema.json").read_text())
        for words in (("XMRA", "XPIR"), ("XMRA", "XDOV", "--wind", "270/20"), ("XSUL", "XNOR"), ("XPIR", "XGIL"),
                      ("XMRA", "XPIR", "--aircraft", "trainer")):
            document = json.loads(plan(*words, "--json").stdout)
            self.assertEqual(check_schema(document, schema), [], words)

    def test_the_same_question_has_the_same_bytes(self):
        words = ("XMRA", "XPIR", "--wind", "270/20", "--date", "2026-11-25", "--json")
        self.assertEqual(plan(*words).stdout, plan(*words).stdout)

    def test_the_rnav_short_cut_is_refused_by_name_and_never_flown(self):
        document = json.loads(plan("XMRA", "XDOV", "--json").stdout)
        self.assertTrue(any(each["code"] == "airway.area_navigation" for each in document["refused"]))
        self.assertFalse(any(step["via"].startswith(("T", "Q")) for step in document["flight"]["steps"]))

    def test_a_station_out_of_service_never_appears(self):
        text = plan("XMRA", "XDOV", "--json").stdout
        used = {step["guidance"]["station"]["ident"] for step in json.loads(text)["flight"]["steps"]
                if "station" in step["guidance"]}
        for ident in sorted(used):
            result = plan("XMRA", "XDOV", "--without", ident, "--json")
            self.assertNotIn(f'"ident": "{ident}"', result.stdout)
            self.assertNotIn(f" {ident} ", json.dumps(json.loads(result.stdout)["flight"]))

    def test_a_lower_cruising_altitude_than_the_minimum_names_the_minimum(self):
        document = json.loads(plan("XMRA", "XPIR", "--altitude", "3000", "--json").stdout)
        self.assertEqual(document["verdict"], "not flyable")
        self.assertIn("another cruising altitude", document["would_unblock"])

    def test_show_prints_each_kind_of_thing(self):
        for ident, word in (("XMR", "declination"), ("V12", "NM"), ("XMRA", "runway"), ("XMRA/I27", "CF")):
            result = run("show", ident, "--atlas", DEMO)
            self.assertEqual(result.returncode, 0, result.stderr)
            self.assertIn(word, result.stdout if word != "runway" else result.stdout.replace("RW", "runway"))

    def test_an_atlas_tells_of_itself_and_is_whole(self):
        info = json.loads(run("atlas", "info", DEMO, "--json").stdout)
        self.assertEqual(info["counts"]["airports"], 8)
        self.assertEqual(run("atlas", "verify", DEMO).returncode, 0)

    def test_the_atlas_is_found_by_the_environment(self):
        result = run("plan", "XMRA", "XPIR", environment={"OMNIWAY_ATLAS": str(DEMO)})
        self.assertEqual(result.returncode, 0, result.stderr)

    def test_every_command_has_help_with_an_example(self):
        for command in (["import"], ["plan"], ["show"], ["atlas", "info"], ["atlas", "verify"], ["aircraft", "check"]):
            result = run(*command, "--help")
            self.assertEqual(result.returncode, 0)
            self.assertIn("Example", result.stdout)


if __name__ == "__main__":
    unittest.main()
