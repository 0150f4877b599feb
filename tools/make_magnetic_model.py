#!/usr/bin/env python3
"""Turns NOAA's World Magnetic Model coefficient file into the two files GeographicLib reads.

    make_magnetic_model.py WMM_2025.COF data/magnetic

Writes wmm2025.wmm (text) and wmm2025.wmm.cof (binary). Same input, same bytes.
Format: GeographicLib, "Magnetic models", section "The format of the magnetic model files".
"""
import struct
import sys

DEGREE = 12
IDENT = "WMM2025A"

META = """WMMF-1
# The World Magnetic Model 2025, converted by tools/make_magnetic_model.py from WMM_2025.COF
Name            wmm2025
Description     World Magnetic Model 2025
URL             https://www.ncei.noaa.gov/products/world-magnetic-model
Publisher       NOAA National Centers for Environmental Information and British Geological Survey
ReleaseDate     2024-11-13
DataVersion     1
Radius          6371200
NumModels       1
Epoch           2025
MinTime         2025
MaxTime         2030
MinHeight       -1000
MaxHeight       850000
Type            linear
Normalization   schmidt
ByteOrder       little
ID              WMM2025A
"""


def read(path):
    """{(n, m): (g, h, g dot, h dot)} in nanotesla and nanotesla a year."""
    rows = {}
    with open(path, encoding="ascii") as lines:
        header = next(lines).split()
        if header[0] != "2025.0" or header[1] != "WMM-2025":
            sys.exit(f"{path}:1: '{' '.join(header)}' is not the header of WMM_2025.COF")
        for line in lines:
            if line.startswith("9999"):
                break
            n, m, *values = line.split()
            rows[int(n), int(m)] = tuple(map(float, values))
    expected = {(n, m) for n in range(1, DEGREE + 1) for m in range(n + 1)}
    if set(rows) != expected:
        sys.exit(f"{path}: {len(rows)} coefficients, {len(expected)} expected")
    return rows


def block(rows, cosine, sine):
    """One set of coefficients: N, M, C by columns of m, then S for m of 1 and more."""
    def value(n, m, which):
        return rows[n, m][which] if n else 0.0

    out = struct.pack("<ii", DEGREE, DEGREE)
    for m in range(DEGREE + 1):
        for n in range(m, DEGREE + 1):
            out += struct.pack("<d", value(n, m, cosine))
    for m in range(1, DEGREE + 1):
        for n in range(m, DEGREE + 1):
            out += struct.pack("<d", value(n, m, sine))
    return out


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    rows = read(sys.argv[1])
    with open(f"{sys.argv[2]}/wmm2025.wmm", "w", encoding="ascii", newline="\n") as meta:
        meta.write(META)
    with open(f"{sys.argv[2]}/wmm2025.wmm.cof", "wb") as coefficients:
        coefficients.write(IDENT.encode("ascii") + block(rows, 0, 1) + block(rows, 2, 3))


if __name__ == "__main__":
    main()
