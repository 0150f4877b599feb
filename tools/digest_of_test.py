#!/usr/bin/env python3
"""Sees digest_of.py tell what a test may read from what it cannot: in a repository made for it."""
import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path


class DigestOf(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory(prefix="omniway-digest-of-")
        self.root = Path(self.folder.name) / "repository"
        for name in ("build/release/share", "web/src", "src", "real"):
            (self.root / name).mkdir(parents=True)
        self.write(".gitignore", "/build/\n/real/\n")
        self.write("web/src/page.ts", "page")
        self.write("build/release/omniway", "program")
        self.write("real/one.txt", "data")
        subprocess.run(["git", "init", "-q"], cwd=self.root, check=True)
        self.first = self.digest()

    def tearDown(self):
        self.folder.cleanup()

    def write(self, name, text):
        (self.root / name).write_text(text)

    def digest(self, **settings):
        without_settings = {name: value for name, value in os.environ.items() if not name.startswith("OMNIWAY_")}
        return subprocess.run([sys.executable, Path(__file__).parent / "digest_of.py", "build/release/omniway", "web/src"], cwd=self.root,
                              env={**without_settings, "OMNIWAY_REAL_DATA": "real", **settings}, check=True, capture_output=True,
                              text=True).stdout

    def test_it_is_the_same_for_the_same(self):
        self.assertEqual(self.digest(), self.first)
        self.assertRegex(self.first, r"^[0-9a-f]{64}\n$")

    def test_it_is_another_for_whatever_may_be_read(self):
        for name in ("build/release/omniway", "web/src/page.ts", "web/src/new.ts", "real/two.txt", "data.toml", "build/release/share/new.atlas"):
            before = self.digest()
            self.write(name, "changed")
            self.assertNotEqual(self.digest(), before, name)
        self.assertNotEqual(self.digest(OMNIWAY_CASES="7"), self.digest())

    def test_what_cannot_be_read_changes_nothing(self):
        for name in ("src/needle.cpp", "CHANGELOG.md", "build/release/share/demo.atlas.horizons", "build/release/other"):
            self.write(name, "changed")
            self.assertEqual(self.digest(), self.first, name)

    def test_without_a_path_it_says_how_it_is_used(self):
        done = subprocess.run([sys.executable, Path(__file__).parent / "digest_of.py"], capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 1)
        self.assertIn("digest_of.py PATH...", done.stderr)


if __name__ == "__main__":
    unittest.main()
