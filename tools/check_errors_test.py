#!/usr/bin/env python3
"""Sees check_errors.py find a code that is not listed, one that is not used, and a row that says too little."""
import tempfile
import unittest
from pathlib import Path

from check_errors import check

TABLE = "| code | where it comes from | example | what to do |\n|---|---|---|---|\n"


def faults(rows, source):
    with tempfile.TemporaryDirectory(prefix="omniway-errors-") as folder:
        root = Path(folder)
        (root / "docs").mkdir()
        (root / "src/store").mkdir(parents=True)
        (root / "docs/errors.md").write_text(TABLE + rows)
        (root / "src/store/atlas.cpp").write_text(source)
        (root / "src/store/atlas_test.cpp").write_text('failure("atlas.only_in_a_test", "...")')
        return check(root)


class Errors(unittest.TestCase):
    ROW = "| `atlas.foreign` | opening | no atlas of ours | import again |\n"

    def test_agreement_passes(self):
        self.assertEqual(faults(self.ROW, 'return base::failure(\n    "atlas.foreign", text);'), [])
        self.assertEqual(faults(self.ROW, 'base::Error{.code = "atlas.foreign", .message = text}'), [])

    def test_a_file_name_is_no_code(self):
        self.assertEqual(faults(self.ROW, 'failure("atlas.foreign", "atlas.txt")'), [])

    def test_a_code_that_is_not_listed_is_found(self):
        found = faults(self.ROW, 'failure("atlas.foreign", a); failure("earth.too_far", b);')
        self.assertEqual(found, ["src/store/atlas.cpp: earth.too_far is not in docs/errors.md"])

    def test_a_code_given_through_a_function_is_found_by_its_first_word(self):
        found = faults(self.ROW, 'failure("atlas.foreign", a); refuse(row, "atlas.damaged");')
        self.assertEqual(found, ["src/store/atlas.cpp: atlas.damaged is not in docs/errors.md"])

    def test_a_listed_code_that_no_source_gives_is_found(self):
        found = faults(self.ROW, '// failure("atlas.foreign", a)\n')
        self.assertEqual(found, ["docs/errors.md lists atlas.foreign, which no source gives"])

    def test_a_row_without_what_to_do_is_found(self):
        found = faults("| `atlas.foreign` | opening | no atlas of ours | |\n", 'failure("atlas.foreign", a)')
        self.assertEqual(len(found), 1)
        self.assertIn("three more cells", found[0])

    def test_a_code_of_another_form_is_found(self):
        found = faults("", 'failure("Foreign atlas", a)')
        self.assertEqual(len(found), 1)
        self.assertIn("is no error code", found[0])


if __name__ == "__main__":
    unittest.main()
