#!/usr/bin/env python3
"""Plants small trees that break the rules of the floors, builds them with the real compiler and sees the check refuse them.

    check_floors_test.py COMPILER
"""
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

from check_floors import check

COMPILER = "g++"
LAWFUL = {
    "CMakeLists.txt": """
add_floor(base)
add_floor(earth USES base LINKS GeographicLib::GeographicLib)  # add_floor(none USES of this)
add_floor(radio USES base earth)
add_floor(skin USES radio)
""",
    "src/base/length.hpp": "#pragma once\nstruct Length {};\n",
    "src/earth/place.hpp": '#pragma once\n#include "base/length.hpp"\nstruct Place { Length height; };\n',
    "src/earth/place.cpp": '#include "earth/place.hpp"\n#include <GeographicLib/Config.h>\n',
    "src/radio/horizon.hpp": '#pragma once\n\n#include "earth/place.hpp"\nLength horizon(Place);\n',
    "src/radio/horizon.cpp": '#include "radio/horizon.hpp"\nLength horizon(Place place) { return place.height; }\n',
    "src/skin/show.cpp": '#include "radio/horizon.hpp"\n',
}


def refusals(changes, leave_unbuilt=(), together=()):
    """What the check says of the lawful tree with some files changed or added, after a real build of it. Those of `together` are compiled
    in one file, as chained headers or joined sources are."""
    with tempfile.TemporaryDirectory(prefix="omniway-floors-") as folder:
        root = Path(folder)
        build = root / "build" / "release"
        for name, text in {**LAWFUL, **changes}.items():
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        # Preprocessing alone gives the include list; the comment is what a compile command looks like.
        rules = [f"rule cxx\n  command = {COMPILER} -std=c++20 -I{root}/src -M -MF $out.d -MT $out $in" +
                 " && touch $out # -o $out -c $in\n"
                 "  deps = gcc\n  depfile = $out.d\n"]
        for path in sorted((root / "src").rglob("*.?pp")):
            spelled = path.relative_to(root / "src").as_posix()
            if spelled in leave_unbuilt or spelled in together[:-1]:
                continue
            parts = together if spelled in together else (spelled,)
            if path.suffix == ".hpp" or len(parts) > 1:
                path = build / ("headers" if path.suffix == ".hpp" else "joined") / (spelled + ".cpp")
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text("".join(f'#include "{part}"\n' for part in parts))
            rules.append(f"build {spelled}.o: cxx {path}\n")
        build.mkdir(parents=True, exist_ok=True)
        (build / "build.ninja").write_text("".join(rules))
        subprocess.run(["ninja", "-C", build, "-j2"], check=True, capture_output=True)
        commands = subprocess.run(["ninja", "-C", build, "-t", "compdb"], check=True, capture_output=True).stdout
        (build / "compile_commands.json").write_bytes(commands)
        return check(root, build).refusals


class Floors(unittest.TestCase):
    def assert_refused(self, said, *parts):
        self.assertTrue(any(all(part in line for part in parts) for line in said), f"{parts} not in {said}")

    def test_a_lawful_tree_passes(self):
        self.assertEqual(refusals({}), [])

    def test_a_floor_that_reaches_upwards_is_refused(self):
        said = refusals({"src/earth/place.cpp": '#include "radio/horizon.hpp"\n'})
        self.assert_refused(said, "src/earth/place.cpp reaches src/radio/horizon.hpp", "earth does not use radio")

    def test_reaching_upwards_by_way_of_a_relative_path_and_a_macro_is_refused(self):
        said = refusals({"src/earth/place.cpp": '#define THERE "../radio/horizon.hpp"\n#include THERE\n'})
        self.assert_refused(said, "src/earth/place.cpp reaches src/radio/horizon.hpp")

    def test_an_include_of_a_floor_used_only_by_a_used_floor_is_refused(self):
        said = refusals({"src/skin/show.cpp": '#include "radio/horizon.hpp"\n#include "earth/place.hpp"\n'})
        self.assert_refused(said, 'src/skin/show.cpp includes "earth/place.hpp"', "skin does not name earth in USES")

    def test_a_test_is_held_to_the_same_uses(self):
        said = refusals({"src/earth/place_test.cpp": '#include "radio/horizon.hpp"\n'})
        self.assert_refused(said, "src/earth/place_test.cpp reaches src/radio/horizon.hpp")

    def test_a_third_party_type_in_a_public_header_is_refused_indirectly_too(self):
        said = refusals({"src/earth/place.hpp": "#pragma once\n#include <GeographicLib/Config.h>\n"
                                                '#include "base/length.hpp"\nstruct Place { Length height; };\n'})
        self.assert_refused(said, "src/earth/place.hpp is a public header", "GeographicLib/")
        self.assert_refused(said, "src/radio/horizon.hpp is a public header", "GeographicLib/")

    def test_a_header_in_detail_may_use_what_its_floor_names_and_nothing_else(self):
        private = '#pragma once\n#include <GeographicLib/Config.h>\n'
        self.assertEqual([], refusals({"src/earth/detail/kernel.hpp": private}))
        self.assertIn("src/base/detail/kernel.hpp reaches <GeographicLib/...>: "
                      "base does not name GeographicLib::GeographicLib in LINKS",
                      refusals({"src/base/detail/kernel.hpp": private}))

    def test_a_header_in_detail_is_for_its_own_floor(self):
        found = refusals({"src/earth/detail/kernel.hpp": "#pragma once\nstruct Kernel {};\n",
                          "src/radio/horizon.cpp": '#include "earth/detail/kernel.hpp"\n'})
        self.assertIn('src/radio/horizon.cpp includes "earth/detail/kernel.hpp": detail/ is for the floor earth alone', found)

    def test_a_library_that_the_floor_does_not_name_is_refused(self):
        said = refusals({"src/radio/horizon.cpp": "#include <sqlite3.h>\n"})
        self.assert_refused(said, "src/radio/horizon.cpp reaches <sqlite3.h", "SQLite::SQLite3")

    def test_a_test_library_outside_a_test_is_refused(self):
        code = "#include <gtest/gtest.h>\n"
        self.assert_refused(refusals({"src/base/length.cpp": code}), "src/base/length.cpp reaches <gtest/")
        self.assertEqual(refusals({"src/base/length_test.cpp": code}), [])

    def test_a_folder_that_is_no_floor_is_refused(self):
        self.assert_refused(refusals({"src/common/all.hpp": "#pragma once\n"}), "src/common is no declared floor")

    def test_a_floor_declared_after_its_user_is_refused(self):
        said = refusals({"CMakeLists.txt": LAWFUL["CMakeLists.txt"].replace("add_floor(base)", "add_floor(base USES earth)")})
        self.assert_refused(said, "base uses earth, which is declared after it")

    def test_chained_headers_are_each_compiled_alone(self):
        chain = ("base/length.hpp", "earth/place.hpp", "radio/horizon.hpp")
        self.assertEqual(refusals({}, together=chain), [])
        self.assert_refused(refusals({}, together=(chain[0], "earth/other.hpp")), "src/base/length.hpp is not compiled alone")

    def test_headers_that_are_no_chain_are_refused(self):
        place = LAWFUL["src/earth/place.hpp"].replace('#include "base/length.hpp"\n', "struct Length {};\n")
        said = refusals({"src/earth/place.hpp": place, "src/earth/own.hpp": '#pragma once\n#include "earth/place.hpp"\n'},
                        together=("earth/own.hpp", "earth/place.hpp"))
        self.assert_refused(said, "earth/own.hpp and earth/place.hpp are compiled in one file")

    def test_a_header_inside_a_chain_is_held_to_its_own_floor(self):
        reaching = LAWFUL["src/earth/place.hpp"] + "struct Skin;\n"
        said = refusals({"src/skin/paint.hpp": "#pragma once\n#include <GeographicLib/Config.h>\n",
                         "src/earth/place.hpp": reaching.replace("#pragma once\n", '#pragma once\n#include "skin/paint.hpp"\n')},
                        together=("earth/place.hpp", "radio/horizon.hpp"))
        self.assert_refused(said, "src/earth/place.hpp reaches src/skin/paint.hpp", "earth does not use skin")
        self.assert_refused(said, "src/earth/place.hpp is a public header", "GeographicLib/")

    def test_an_include_of_a_header_that_the_text_does_not_show_is_refused(self):
        for line in ('#define THERE "base/length.hpp"\n#include THERE\n', '#include "../base/length.hpp"\n'):
            said = refusals({"src/earth/place.hpp": f"#pragma once\n{line}struct Place {{ Length height; }};\n"})
            self.assert_refused(said, "src/earth/place.hpp: #include", "does not spell its file from src/")
        said = refusals({"src/earth/place.hpp": LAWFUL["src/earth/place.hpp"] + "#include <vector>\n"})
        self.assert_refused(said, "src/earth/place.hpp: #include <vector> stands below the first declaration")

    def test_joined_tests_are_held_to_what_each_may_reach(self):
        tests = {"src/earth/one_test.cpp": '#include "earth/place.hpp"\n', "src/earth/two_test.cpp": "#include <gtest/gtest.h>\n"}
        both = ("earth/one_test.cpp", "earth/two_test.cpp")
        self.assertEqual(refusals(tests, together=both), [])
        said = refusals({**tests, "src/earth/two_test.cpp": '#include "radio/horizon.hpp"\n'}, together=both)
        self.assert_refused(said, "src/earth/one_test.cpp or src/earth/two_test.cpp reaches src/radio/horizon.hpp")

    def test_what_is_not_built_is_not_taken_as_good(self):
        said = refusals({}, leave_unbuilt=("radio/horizon.hpp", "skin/show.cpp"))
        self.assert_refused(said, "src/radio/horizon.hpp is not compiled alone")
        self.assert_refused(said, "src/skin/show.cpp is in no target of the build")

    def test_the_needle_pilot_that_sees_where_it_is_is_refused(self):
        floors = LAWFUL["CMakeLists.txt"] + "add_floor(rehearsal USES base earth)\n"
        blind = {"CMakeLists.txt": floors, "src/rehearsal/pilot.hpp": '#pragma once\n#include "base/length.hpp"\n',
                 "src/rehearsal/pilot.cpp": '#include "rehearsal/pilot.hpp"\n'}
        self.assertEqual(refusals(blind), [])
        seeing = {**blind, "src/rehearsal/pilot.cpp": '#include "rehearsal/pilot.hpp"\n#include "earth/place.hpp"\n'}
        said = refusals(seeing)
        self.assertTrue(any("src/rehearsal/pilot.cpp reaches src/earth/place.hpp" in refusal for refusal in said), said)



if __name__ == "__main__":
    if len(sys.argv) > 1:
        COMPILER = sys.argv.pop(1)
    unittest.main()
