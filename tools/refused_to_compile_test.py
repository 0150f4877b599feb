#!/usr/bin/env python3
"""Sees refused_to_compile.py tell wrong code that compiles, a broken control and a refusal for another reason.

    refused_to_compile_test.py COMPILER
"""
import sys
import tempfile
import unittest

from refused_to_compile import snippets, verdict

COMPILER = "g++"
TEXT = """
struct Length { explicit Length(double); };
#if SNIPPET == 0
Length made{1.0};
#elif SNIPPET == 1  // a number is no length; says: could not convert '1.0e+0' from 'double' to 'Length'
Length taken(Length length);
Length made = taken(1.0);
#elif SNIPPET == 2  // refused, but by a slip of the pen; says: could not convert
Lenght made{1.0};
#elif SNIPPET == 3  // not wrong at all
Length made{2.0};
#elif SNIPPET == \\
    4  // nor is it taken for one unasked; says: from 'double' to non-scalar type 'Length'
Length made = 1.0;
#endif
"""


class RefusedToCompile(unittest.TestCase):
    def of(self, number, text=TEXT):
        with tempfile.NamedTemporaryFile("w", suffix=".cpp") as file:
            file.write(text)
            file.flush()
            return verdict(file.name, number, [COMPILER, "-std=c++20"])

    def test_the_lines_are_read(self):
        self.assertEqual(list(snippets(TEXT)), [0, 1, 2, 3, 4])
        self.assertEqual(snippets(TEXT)[4][0], "nor is it taken for one unasked")
        self.assertEqual(snippets(TEXT)[2], ("refused, but by a slip of the pen", "could not convert"))

    def test_a_right_control_and_a_wrong_snippet_pass(self):
        self.assertEqual(self.of(0), "")
        self.assertEqual(self.of(1), "")
        self.assertEqual(self.of(4), "")

    def test_a_refusal_for_another_reason_is_told(self):
        self.assertIn("not with the words", self.of(2))

    def test_wrong_code_that_compiles_is_told(self):
        self.assertIn("compiles, though it should not: not wrong at all", self.of(3))

    def test_a_control_that_does_not_compile_is_told(self):
        self.assertIn("the control does not compile", self.of(0, TEXT.replace("made{1.0}", "made{}")))

    def test_a_snippet_that_is_not_there_is_told(self):
        self.assertIn("has no snippet 7", self.of(7))


if __name__ == "__main__":
    if len(sys.argv) > 1:
        COMPILER = sys.argv.pop(1)
    unittest.main()
