#!/usr/bin/env python3
"""Sees run_tests.py leave out only what passed before with the same program and data: a repository of two tests, made for it."""
import os
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree
from pathlib import Path

PRESETS = """{"version": 5,
 "configurePresets": [{"name": "release", "generator": "Ninja", "binaryDir": "${sourceDir}/build/${presetName}"}],
 "testPresets": [{"name": "release", "configurePreset": "release"}]}"""


class RunTests(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory(prefix="omniway-run-tests-")
        self.root = Path(self.folder.name) / "repository"
        (self.root / "build/release/share").mkdir(parents=True)
        (self.root / "src").mkdir()
        (self.root / "real").mkdir()
        (self.root / "CMakePresets.json").write_text(PRESETS)
        (self.root / "src/needle.cpp").write_text("")
        (self.root / ".gitignore").write_text("/build/\n/real/\n")
        (self.root / "build/release/CTestTestfile.cmake").write_text(
            "".join(f'add_test({name} "/bin/sh" "{self.root}/build/release/{script}.sh")\n'
                    f'set_tests_properties({name} PROPERTIES SKIP_RETURN_CODE 77)\n'
                    for name, script in (("Needle.Points", "needle"), ("Dme.Counts", "dme"), ("Tools.anything", "dme"))))
        self.program("needle", "exit 0")
        self.program("dme", "exit 0")
        subprocess.run(["git", "init", "-q"], cwd=self.root, check=True)

    def tearDown(self):
        self.folder.cleanup()

    def program(self, name, text):
        (self.root / f"build/release/{name}.sh").write_text(text + "\n")

    def run_tests(self, *arguments, **settings):
        """The exit status, and the names of those that ran."""
        without_settings = {name: value for name, value in os.environ.items() if not name.startswith("OMNIWAY_")}
        done = subprocess.run([sys.executable, Path(__file__).parent / "run_tests.py", "release", *arguments], cwd=self.root,
                              env={**without_settings, "OMNIWAY_REAL_DATA": "real", **settings}, capture_output=True, text=True)
        return done.returncode, [name for name in ("Needle.Points", "Dme.Counts", "Tools.anything")
                                 if f": {name} ." in done.stdout]

    def test_what_passed_runs_again_only_when_its_own_program_changed_or_it_is_told_to(self):
        self.assertEqual(self.run_tests(), (0, ["Needle.Points", "Dme.Counts", "Tools.anything"]))
        self.assertEqual(self.run_tests(), (0, ["Tools.anything"]))
        self.program("needle", "exit 0 # built again")
        self.assertEqual(self.run_tests(), (0, ["Needle.Points", "Tools.anything"]))
        self.assertEqual(self.run_tests("--again"), (0, ["Needle.Points", "Dme.Counts", "Tools.anything"]))

    def test_what_failed_or_was_skipped_runs_until_it_passes(self):
        self.program("needle", "exit 1")
        self.program("dme", "exit 77")
        self.assertEqual(self.run_tests()[0], 8)
        self.assertEqual(self.run_tests(), (8, ["Needle.Points", "Dme.Counts", "Tools.anything"]))
        self.program("needle", "exit 0")
        self.assertEqual(self.run_tests(), (0, ["Needle.Points", "Dme.Counts", "Tools.anything"]))
        self.assertEqual(self.run_tests(), (0, ["Dme.Counts", "Tools.anything"]))

    def test_all_run_again_when_data_documents_or_settings_change_and_none_when_a_source_does(self):
        every = (0, ["Needle.Points", "Dme.Counts", "Tools.anything"])
        self.run_tests()
        for name in ("real/tile.hgt", "build/release/share/demo.atlas", "guide.md"):
            (self.root / name).write_text("other")
            self.assertEqual(self.run_tests(), every, name)
        self.assertEqual(self.run_tests(OMNIWAY_REQUIRE_REAL_DATA="1"), every)
        (self.root / "src/needle.cpp").write_text("// not built yet")
        self.assertEqual(self.run_tests(OMNIWAY_REQUIRE_REAL_DATA="1"), (0, ["Tools.anything"]))

    def test_what_passed_before_stands_in_the_junit_file(self):
        junit = self.root / "build/junit.xml"
        for _ in range(2):
            self.run_tests("--output-junit", str(junit))
            cases = [case.get("name") for case in ElementTree.parse(junit).getroot().iter("testcase") if case.get("status") == "run"]
            self.assertEqual(sorted(cases), ["Dme.Counts", "Needle.Points", "Tools.anything"])


if __name__ == "__main__":
    unittest.main()
