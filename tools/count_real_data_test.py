#!/usr/bin/env python3
"""Sees count_real_data.py tell tests that ran from tests that were skipped, by the words ctest 3.25 writes."""
import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

# As ctest 3.25.1 writes them, cut short.
CASES = {
    "ran": '<testcase name="TruthRealDataAirways.AgreeWithTheCodedDistance" status="run"/>',
    "failed": '<testcase name="CaseRealDataImport.UsesEveryRow" status="fail"><failure message=""/></testcase>',
    "skipped": '<testcase name="CaseRealDataRoutes.AreFlown" status="notrun"><skipped message="SKIP_REGULAR_EXPRESSION_MATCHED"/></testcase>',
    "other": '<testcase name="CaseMorse.SoundsRealData" status="run"/>',
}


def run(*cases, required):
    with tempfile.TemporaryDirectory(prefix="omniway-count-") as folder:
        junit = Path(folder) / "junit.xml"
        junit.write_text("<testsuite>" + "".join(CASES[case] for case in cases) + "</testsuite>")
        done = subprocess.run([sys.executable, Path(__file__).parent / "count_real_data.py", junit],
                              env={**os.environ, "OMNIWAY_REQUIRE_REAL_DATA": "1" if required else "0"},
                              capture_output=True, text=True)
        return done.returncode, done.stdout


class CountRealData(unittest.TestCase):
    def test_what_ran_and_what_was_skipped_is_counted(self):
        self.assertEqual(run("ran", "failed", "skipped", "other", required=False),
                         (0, "real data: 2 tests ran, 1 were skipped\n"))

    def test_a_skipped_one_fails_where_real_data_is_required(self):
        status, said = run("ran", "skipped", required=True)
        self.assertEqual(status, 1)
        self.assertIn("skipped: CaseRealDataRoutes.AreFlown", said)
        self.assertEqual(run("ran", required=True)[0], 0)

    def test_none_at_all_fails_where_real_data_is_required(self):
        self.assertEqual(run("other", required=True)[0], 1)
        self.assertEqual(run("other", required=False)[0], 0)


if __name__ == "__main__":
    unittest.main()
