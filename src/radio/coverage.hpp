#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/progress.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/station.hpp"
#include "radio/error_budget.hpp"
#include "radio/ground.hpp"

namespace omniway::radio {

/// Cells of equal degrees: rows from north to south, in a row from west to east.
struct CellGrid {
    earth::Position north_west;  // the outer corner
    base::Angle cell;
    std::size_t columns = 0;
    std::size_t rows = 0;

    std::size_t cells() const { return columns * rows; }
    earth::Position centre(std::size_t row, std::size_t column) const;
};

struct CoverageQuestion {
    CellGrid grid;
    base::Altitude altitude;
    Criteria criteria = Criteria::terps;
    Ground ground;
    bool lowest_altitudes = true;  // which take most of the time; without them their figures are NaN
    bool accuracy = true;          // the same
};

/// What can be heard in each cell of a grid, and how true a place would be told there.
///   Model     the centre stands for its cell; out of service is out. A station counts as heard by its azimuth or its distance.
///             Lines of position are the bearings of VORs and NDBs and the circles of DMEs; a localizer, whose one line is
///             its course, is heard but gives none. Two cross well at 30 degrees or more, 45 where one is an NDB's; those of one
///             VOR/DME cross at 90. Lowest altitudes are never below the ground of the cell where that is known. Accuracy is
///             fix_error() of the best two lines heard at the altitude asked about.
///   Domain    any grid inside latitudes -90 to 90; cells that no figure holds for are NaN, which is not zero.
///   Accuracy  as radio/reception.hpp at the centres (coverage_test.cpp).
///   Cost      some microseconds a cell and station in reach, on all processors.
///   Fails     "no" is an empty answer: cancelled.
///   Source    design section 3 (crossing angles); trade-facts 16.
struct Coverage {
    std::vector<float> stations;       // how many are heard at the altitude
    std::vector<float> lowest_one_ft;  // lowest altitude above sea level with one heard
    std::vector<float> lowest_two_ft;  // and with two lines that cross well
    std::vector<float> accuracy_nm;    // 95 %, of the best two lines at the altitude
    std::vector<float>
        ground_known;  // 1 where all of these rest on known ground, 0 where some sight crosses unknown
};
std::optional<Coverage> coverage_of(std::span<const navdata::Station> stations,
                                    const CoverageQuestion& question, const base::Progress& progress,
                                    unsigned threads = 0);

/// The lowest altitude at which one station is usable in each cell: its azimuth, or its distance where it has no azimuth.
struct LowestUsable {
    std::vector<float> lowest_ft;
    std::vector<float> ground_known;
};
std::optional<LowestUsable> lowest_usable(const navdata::Station& station, const CellGrid& grid,
                                          const Ground& ground, const base::Progress& progress,
                                          unsigned threads = 0);

/// A line of position at a place: which way it runs there, and how far the place may be off it (95 %).
struct LineOfPosition {
    base::TrueBearing direction;
    base::Length error;
    bool beacon = false;  // an NDB's
};

/// The angle at which two lines cross, 0 to 90 degrees, and whether that is enough.
base::Angle crossing(const LineOfPosition& one, const LineOfPosition& other);
bool cross_well(const LineOfPosition& one, const LineOfPosition& other);

/// How far, in 95 %, a place told by two lines may be from where it is told to be.
///   Model     twice the distance root mean square of two independent straight lines: sqrt(a^2 + b^2) / sin(crossing), a and b
///             being the 95 % (two sigma) errors of the lines.
///   Domain    lines that are not parallel.
///   Accuracy  the circle holds 95.4 % of fixes (one line much worse) to 98.2 % (both alike, at right angles).
///   Cost      a square root and a sine.
///   Fails     never; parallel lines are infinitely far off.
///   Source    trade-facts 16.
base::Length fix_error(const LineOfPosition& one, const LineOfPosition& other);

}  // namespace omniway::radio
