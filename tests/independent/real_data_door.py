"""The same door to real data as tests/real_data.hpp, for the tests written in Python."""
import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


def real_data_folder() -> Path:
    """The folder of published data; ends the test as skipped (77), or failed where it is required, when absent."""
    folder = Path(os.environ.get("OMNIWAY_REAL_DATA") or ROOT / ".." / "shared" / "navdata")
    if folder.is_dir():
        return folder
    if os.environ.get("OMNIWAY_REQUIRE_REAL_DATA") == "1":
        sys.exit("real data is required (OMNIWAY_REQUIRE_REAL_DATA=1) and its folder is missing")
    print("NOT CHECKED against real data: set OMNIWAY_REAL_DATA to its folder, or put it beside the checkout")
    sys.exit(77)
