#!/usr/bin/env python3
"""Sees check_documents.py find a document that is named and not there, and a link that leads nowhere; then holds the repository."""
import tempfile
import unittest
from pathlib import Path

from check_documents import check

# Not written in one piece: the check reads this file too.
MISSING = "docs" + "/nowhere.md"
GUIDE = "docs" + "/guide.md"


def faults(files):
    with tempfile.TemporaryDirectory(prefix="omniway-documents-") as folder:
        root = Path(folder)
        for name, text in ({"docs/atlas.md": "# The atlas\n"} | files).items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(text)
        return check(root)


class Documents(unittest.TestCase):
    def test_documents_that_are_there_pass(self):
        self.assertEqual(faults({"src/store/atlas.hpp": "/// Source docs/atlas.md.\n", "README.md": "[it](docs/atlas.md#where)\n",
                                 GUIDE: "[it](atlas.md), [code](../src), [far](https://example.org/x)\n",
                                 "src/a.hpp": f"// {GUIDE}\n"}), [])

    def test_a_document_that_is_missing_is_found_wherever_it_is_named(self):
        for name in ("src/store/atlas.hpp", "tests/broken/rows.txt", "tools/make.py", "CMakeLists.txt", GUIDE, "check"):
            self.assertEqual(faults({name: f"first\nsee {MISSING}, it says why\n"}),
                             [f"{name}:2: {MISSING} is named and is not there"])

    def test_a_report_is_asked_for_once_there_are_reports(self):
        reports = "docs" + "/reports/"
        writer = {"tools/report.py": f'"""Writes {reports}b.md."""\n'}
        self.assertEqual(faults(writer), [])
        self.assertEqual(faults(writer | {f"{reports}a.md": "# A\n"}),
                         [f"tools/report.py:1: {reports}b.md is named and is not there"])

    def test_a_link_that_leads_nowhere_is_found(self):
        self.assertEqual(faults({GUIDE: "one\n[other](other.md) and [atlas](atlas.md)\n"}),
                         [f"{GUIDE}:2: the link to other.md leads nowhere"])

    def test_a_link_in_code_is_no_link(self):
        self.assertEqual(faults({GUIDE: "`[x](y.md)`\n\n    [x](y.md)\n"}), [])

    def test_a_large_file_in_the_root_is_found(self):
        self.assertEqual(faults({"left": "x" * 200_001}), ["left: 200001 bytes, which no document has: take it away"])

    def test_the_repository_names_only_documents_that_are_there(self):
        self.assertEqual(check(Path(__file__).resolve().parent.parent), [])


if __name__ == "__main__":
    unittest.main()
