#!/usr/bin/env python3
"""Every planted fault still finds its text in the sources."""
import unittest

import plant_routing_faults as planting


class PlantedFaults(unittest.TestCase):
    def test_each_finds_its_text_once(self):
        for fault in planting.FAULTS:
            with self.subTest(fault.name):
                sound = (planting.ROOT / fault.file).read_text(encoding="utf-8")
                self.assertNotEqual(sound, planting.planted(sound, fault))

    def test_there_are_fifty_with_names_of_their_own(self):
        names = {fault.name for fault in planting.FAULTS}
        self.assertEqual(len(names), len(planting.FAULTS))
        self.assertGreaterEqual(len(names), 50)

    def test_a_text_that_is_not_there_is_an_error(self):
        fault = planting.Fault("none", "", "file", "one", "two", ("base_test",))
        for text in ("", "one one"):
            with self.assertRaises(planting.Failure):
                planting.planted(text, fault)

    def test_a_fault_that_lives_is_told_as_such(self):
        fault, other = planting.FAULTS[:2]
        rows = {fault.name: planting.row(fault, "", [], "1234567"),
                other.name: planting.row(other, "base_test", ["Truth.Fact", "Law.Other"], "1234567")}
        page = planting.page(rows, {"Case.Unsound"})
        for words in ("**nothing**", "`Truth.Fact` | 1 more of `base_test`", "2 faults, 1 killed, 1 not", "`Case.Unsound`"):
            self.assertIn(words, page)
        self.assertEqual(planting.rows_of(page), rows)


if __name__ == "__main__":
    unittest.main()
