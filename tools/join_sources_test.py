#!/usr/bin/env python3
"""Sees join_sources.py keep apart what would clash, shadow or change its meaning in one file, and join the rest."""
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from join_sources import own_names, without_noise

TOOL = Path(__file__).with_name("join_sources.py")


def source(own: str, rest: str = "") -> str:
    return f'#include "base/level.hpp"\n\nnamespace omniway::base {{\nnamespace {{\n\n{own}\n\n}}  // namespace\n\n{rest}\n}}\n'


class Names(unittest.TestCase):
    def test_types_functions_and_constants_of_the_unnamed_namespace_are_own_names(self):
        own = own_names(without_noise(source(
            "using base::Length;\nusing Line = std::vector<int>;\nconstexpr double pi = 3.14;\nconst std::array<int, 2> two{1, 2};\n\n"
            "struct Case {\n    int inner = 0;\n};\n\ntemplate <class T>\nclass Walk {\n};\n\nenum class Kind { small, large };\n\n"
            "double span(const Case& of) {\n    const double local = of.inner;\n    return local;\n}\n\n"
            "std::vector<int> many(int first,\n                      int last) {\n    return {};\n}\n\nint table[4] = {};\n",
            "double published(double x) {\n    return x;\n}")))
        self.assertEqual(own, {"Line", "pi", "two", "Case", "Walk", "Kind", "span", "many", "table"})

    def test_braces_in_text_and_comments_do_not_count(self):
        own = own_names(without_noise(source("const char* open() {\n    return \"{\";  // {\n}\n\nchar brace = '{';\nint after = 0;")))
        self.assertEqual(own, {"open", "brace", "after"})

    def test_a_test_is_no_name_of_its_own(self):
        self.assertEqual(own_names(source("TEST(Law, Holds) {\n}\n\nint one = 1;")), {"one"})


class Joining(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory(prefix="omniway-join-")
        self.addCleanup(self.folder.cleanup)
        self.root = Path(self.folder.name)
        (self.root / "src" / "base" / "detail").mkdir(parents=True)

    def file(self, name: str, text: str) -> Path:
        file = self.root / "src" / "base" / name
        file.write_text(text, encoding="utf-8")
        return file

    def join(self, *files: Path, lines: int = 100) -> list[list[str]]:
        """The names of the sources in each file to be compiled."""
        said = subprocess.run([sys.executable, TOOL, self.root / "joined", "base", str(lines), *files],
                              capture_output=True, text=True, check=True).stdout
        return [[line[len('#include "base/'):-1] for line in Path(file).read_text(encoding="utf-8").splitlines()]
                if Path(file).parent.name == "joined" else [Path(file).name] for file in said.split(";")]

    def test_sources_that_share_no_name_are_joined_in_their_order(self):
        files = (self.file("a.cpp", source("int one = 1;")), self.file("b.cpp", source("int two = 2;")),
                 self.file("detail/c.cpp", source("int three = 3;")))
        self.assertEqual(self.join(*files), [["a.cpp", "b.cpp", "detail/c.cpp"]])

    def test_one_name_in_two_sources_keeps_them_apart(self):
        files = (self.file("a.cpp", source("int one = 1;")), self.file("b.cpp", source("double one = 1.0;")))
        self.assertEqual(self.join(*files), [["a.cpp"], ["b.cpp"]])

    def test_a_name_that_is_a_local_variable_elsewhere_keeps_them_apart(self):
        local = source("int two = 2;", "int f() {\n    int one = 1;\n    return one;\n}")
        files = (self.file("a.cpp", local), self.file("b.cpp", source("int one = 1;")), self.file("c.cpp", source("int three = 3;")))
        self.assertEqual(self.join(*files), [["a.cpp", "c.cpp"], ["b.cpp"]])

    def test_a_name_in_a_comment_or_a_text_elsewhere_does_not(self):
        files = (self.file("a.cpp", source("int one = 1;")), self.file("b.cpp", source('// one\nconst char* two = "one";')))
        self.assertEqual(self.join(*files), [["a.cpp", "b.cpp"]])

    def test_a_pragma_keeps_a_source_by_itself(self):
        files = [self.file(f"{i}.cpp", source(f"int n{i} = 0;")) for i in range(3)]
        files[1].write_text("#pragma GCC target(\"avx2\")\n" + source("int n1 = 0;"), encoding="utf-8")
        self.assertEqual(self.join(*files), [["0.cpp", "2.cpp"], ["1.cpp"]])

    def test_no_joined_file_is_longer_than_asked_for(self):
        files = [self.file(f"{i}.cpp", source(f"int n{i} = 0;")) for i in range(5)]
        self.assertEqual([len(each) for each in self.join(*files, lines=14)], [2, 2, 1])

    def test_what_did_not_change_is_not_written_again(self):
        files = (self.file("a.cpp", source("int one = 1;")), self.file("b.cpp", source("int two = 2;")))
        self.join(*files)
        joined = self.root / "joined" / "base_1.cpp"
        before = joined.stat().st_mtime_ns
        self.join(*files)
        self.assertEqual(joined.stat().st_mtime_ns, before)


if __name__ == "__main__":
    unittest.main()
