#!/usr/bin/env python3
"""Random admitted flights of the demo region, each through the independent checker of cards.

    card_flights_test.py OMNIWAY CHECK_CARD ATLAS FLIGHTS [SEED]
"""
import sys
import tempfile
from pathlib import Path

from card_door import Checked, admitted

# A checker that skips most of a card must not pass: no flight has come with fewer values than this.
FEWEST_VALUES_OF_A_FLIGHT = 150


def main() -> int:
    omniway, checker, atlas, wanted = Path(sys.argv[1]), sys.argv[2], sys.argv[3], int(sys.argv[4])
    seed = int(sys.argv[5]) if len(sys.argv) > 5 else 5
    with tempfile.TemporaryDirectory() as folder:
        flights, asked = admitted(omniway, atlas, Path(folder), wanted, seed)
        checked = Checked(checker, atlas, [file for file, _ in flights])
    for file, line in checked.wrong:
        print(f"{file}: {line}")
    print(f"{checked.cards} admitted flights of {asked} asked for (seed {seed}), {checked.steps} steps, {checked.values} values, "
          f"{len(checked.wrong)} wrong")
    print("\n".join(checked.methods()))
    faults = [
        (checked.status != 0 or checked.wrong, f"the checker found faults (exit {checked.status}) {checked.errors}"),
        (checked.cards != wanted, "not every flight was checked"),
        ((checked.fewest or 0) < FEWEST_VALUES_OF_A_FLIGHT, f"a flight with {checked.fewest} values only"),
    ]
    faults = [text for found, text in faults if found]
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
