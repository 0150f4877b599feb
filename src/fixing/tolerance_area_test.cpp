#include "fixing/tolerance_area.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "radio/error_budget.hpp"

namespace omniway::fixing {

using base::Angle;
using base::Length;
using base::TrueBearing;
using earth::Position;

namespace {

const Position somewhere = Position::degrees(40.0, -170.0);

BearingLine bearing_line(double from_fix_deg, double away_nm, double tolerance_deg) {
    return {TrueBearing::degrees(from_fix_deg), Length::nautical_miles(away_nm),
            Angle::degrees(tolerance_deg)};
}

DistanceLine distance_line(double from_fix_deg, double away_nm, double tolerance_nm) {
    return {TrueBearing::degrees(from_fix_deg), Length::nautical_miles(away_nm),
            Length::nautical_miles(away_nm - tolerance_nm), Length::nautical_miles(away_nm + tolerance_nm)};
}

// Flown on 090 with what guides behind, so that `crossing_deg` to the left of what is behind is the crossing angle.
const TrueBearing eastbound = TrueBearing::degrees(90.0);

ToleranceArea area_of(std::vector<PositionLine> lines) {
    auto area = tolerance_area(somewhere, eastbound, lines);
    EXPECT_TRUE(std::holds_alternative<ToleranceArea>(area));
    return std::holds_alternative<ToleranceArea>(area) ? std::get<ToleranceArea>(area) : ToleranceArea{};
}

struct Flat {
    double x_nm = 0.0;
    double y_nm = 0.0;
};
Flat flat(Position fix, Position place) {
    const earth::Geodesic line = earth::geodesic(fix, place);
    const double azimuth_rad = line.initial.degrees() * M_PI / 180.0;
    return {line.distance.nautical_miles() * std::sin(azimuth_rad),
            line.distance.nautical_miles() * std::cos(azimuth_rad)};
}

std::vector<Flat> flat(Position fix, const ToleranceArea& area) {
    std::vector<Flat> corners;
    for (const Position corner : area.corners) {
        corners.push_back(flat(fix, corner));
    }
    return corners;
}

// By the winding number, so that no rule of even and odd is shared with what is tested.
bool inside(const std::vector<Flat>& corners, Flat p) {
    double turn_rad = 0.0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Flat a{corners[i].x_nm - p.x_nm, corners[i].y_nm - p.y_nm};
        const Flat& next = corners[(i + 1) % corners.size()];
        const Flat b{next.x_nm - p.x_nm, next.y_nm - p.y_nm};
        turn_rad += std::atan2(a.x_nm * b.y_nm - a.y_nm * b.x_nm, a.x_nm * b.x_nm + a.y_nm * b.y_nm);
    }
    return std::abs(turn_rad) > M_PI;
}

// Within what a corner may be wrong by (tolerance_area.hpp: 0.03 % of its distance from the fix, or 5 m).
bool on_the_edge(const std::vector<Flat>& corners, Flat p) {
    const double allowed_nm = std::max(0.0003 * std::hypot(p.x_nm, p.y_nm), 5.0 / 1852.0);
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Flat& a = corners[i];
        const Flat& b = corners[(i + 1) % corners.size()];
        const double along_x = b.x_nm - a.x_nm;
        const double along_y = b.y_nm - a.y_nm;
        const double squared = along_x * along_x + along_y * along_y;
        const double share =
            squared > 0.0
                ? std::clamp(((p.x_nm - a.x_nm) * along_x + (p.y_nm - a.y_nm) * along_y) / squared, 0.0, 1.0)
                : 0.0;
        if (std::hypot(p.x_nm - a.x_nm - share * along_x, p.y_nm - a.y_nm - share * along_y) <= allowed_nm) {
            return true;
        }
    }
    return false;
}

// Semi-axes of an area's spread, if every place in it were as likely: by Green's theorem over its triangles.
struct Axes {
    double major_nm = 0.0;
    double minor_nm = 0.0;
};
Axes spread(const std::vector<Flat>& corners) {
    double area = 0.0;
    double x = 0.0;
    double y = 0.0;
    double xx = 0.0;
    double yy = 0.0;
    double xy = 0.0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Flat a = corners[i];
        const Flat b = corners[(i + 1) % corners.size()];
        const double c = (a.x_nm * b.y_nm - b.x_nm * a.y_nm) / 2.0;
        area += c;
        x += c * (a.x_nm + b.x_nm) / 3.0;
        y += c * (a.y_nm + b.y_nm) / 3.0;
        xx += c * (a.x_nm * a.x_nm + a.x_nm * b.x_nm + b.x_nm * b.x_nm) / 6.0;
        yy += c * (a.y_nm * a.y_nm + a.y_nm * b.y_nm + b.y_nm * b.y_nm) / 6.0;
        xy += c * (2 * a.x_nm * a.y_nm + a.x_nm * b.y_nm + b.x_nm * a.y_nm + 2 * b.x_nm * b.y_nm) / 12.0;
    }
    const double vx = xx / area - x * x / area / area;
    const double vy = yy / area - y * y / area / area;
    const double vxy = xy / area - x * y / area / area;
    const double middle = (vx + vy) / 2.0;
    const double half = std::hypot((vx - vy) / 2.0, vxy);
    return {std::sqrt(middle + half), std::sqrt(middle - half)};
}

}  // namespace

// trade-facts 3.2, table "Error along the tracked course from a crossing radial", whole: the lines of the criteria cut the
// track itself (what guides is held to a thousandth of a degree) short of the fix and beyond it.
TEST(TruthToleranceArea, ACrossingRadialReachesAlongTheTrackAsTheTableSays) {
    struct Row {
        double away_nm, crossing_deg, far_terps, near_terps, far_pans_ops, near_pans_ops;
    };
    for (const Row& row : {Row{30, 90, 1.89, 1.89, 2.36, 2.36}, Row{30, 60, 2.26, 2.10, 2.86, 2.61},
                           Row{30, 45, 2.85, 2.51, 3.62, 3.10}, Row{20, 90, 1.26, 1.26, 1.57, 1.57},
                           Row{45, 45, 4.27, 3.77, 5.44, 4.64}, Row{20, 30, 2.82, 2.27, 3.64, 2.77}}) {
        for (const bool terps : {true, false}) {
            const Angle tolerance =
                radio::bearing_tolerance(radio::AidKind::vor, radio::Line::crossing,
                                         terps ? radio::Criteria::terps : radio::Criteria::pans_ops);
            const ToleranceArea area =
                area_of({bearing_line(270, 20, 0.001),
                         bearing_line(270 + row.crossing_deg, row.away_nm, tolerance.degrees())});
            const auto [near, far] = std::minmax(area.short_of, area.beyond);
            EXPECT_NEAR(far.nautical_miles(), terps ? row.far_terps : row.far_pans_ops, 0.006)
                << row.away_nm << " " << row.crossing_deg;
            EXPECT_NEAR(near.nautical_miles(), terps ? row.near_terps : row.near_pans_ops, 0.006)
                << row.away_nm << " " << row.crossing_deg;
        }
    }
}

// trade-facts 16: the semi-axes of two lines' error ellipse by cosecant squared, [computed] there. Errors that are even within
// +-s have a third of the variance s squared, so three times the spread of the area is that ellipse. The tolerance is a
// hundredth of the table's degree, where the lines do not fan out, and the figures are scaled up.
TEST(TruthToleranceArea, TwoRadialsSpreadAsTheEllipsesOfTheTable) {
    struct Row {
        double d1_nm, d2_nm, crossing_deg, major_nm, minor_nm, drms_nm;
    };
    for (const Row& row : {Row{30, 30, 90, 0.524, 0.524, 0.740}, Row{30, 30, 45, 0.967, 0.401, 1.047},
                           Row{30, 30, 30, 1.430, 0.383, 1.481}, Row{40, 20, 60, 0.836, 0.337, 0.901}}) {
        const Axes axes =
            spread(flat(somewhere, area_of({bearing_line(270, row.d1_nm, 0.01),
                                            bearing_line(270 + row.crossing_deg, row.d2_nm, 0.01)})));
        const double scale = std::sqrt(3.0) * 100.0;
        EXPECT_NEAR(axes.major_nm * scale, row.major_nm, 0.001) << row.crossing_deg;
        EXPECT_NEAR(axes.minor_nm * scale, row.minor_nm, 0.001) << row.crossing_deg;
        EXPECT_NEAR(std::hypot(axes.major_nm, axes.minor_nm) * scale, row.drms_nm, 0.001) << row.crossing_deg;
    }
}

// trade-facts 16: equal lines 22.5 degrees apart have axes in about 1:5 ([seen]); in general tan(g/2).
TEST(TruthToleranceArea, EqualLinesHaveAxesInTheTangentOfHalfTheCrossing) {
    for (const double crossing_deg : {22.5, 45.0, 70.0, 90.0}) {
        const Axes axes = spread(flat(
            somewhere, area_of({bearing_line(270, 25, 0.01), bearing_line(270 + crossing_deg, 25, 0.01)})));
        EXPECT_NEAR(axes.minor_nm / axes.major_nm, std::tan(crossing_deg * M_PI / 360.0), 0.001);
    }
}

// The parallelogram of two strips, widths 2 d e, crossing at g: area 4 d1 e1 d2 e2 / sin g; it reaches (d2 e2 + d1 e1 cos g) /
// sin g along the line of the first and d1 e1 to each side of it. Plane geometry; NDB lines by their tolerances alike.
TEST(TruthToleranceArea, TwoBearingsEncloseTheParallelogramOfTheirStrips) {
    for (const double crossing_deg : {30.0, 45.0, 60.0, 90.0, 120.0}) {
        const double e_rad = 0.05 * M_PI / 180.0;
        const ToleranceArea area =
            area_of({bearing_line(270, 40, 0.05), bearing_line(270 + crossing_deg, 25, 0.05)});
        const double g_rad = crossing_deg * M_PI / 180.0;
        const double first = 40 * e_rad;
        const double second = 25 * e_rad;
        EXPECT_EQ(area.corners.size(), 4U);
        EXPECT_NEAR(area.square_nm, 4 * first * second / std::sin(g_rad), area.square_nm * 0.005);
        const double along = (second + first * std::abs(std::cos(g_rad))) / std::sin(g_rad);
        EXPECT_NEAR(area.along_half_size().nautical_miles(), along, along * 0.01) << crossing_deg;
        EXPECT_NEAR(area.across_half_size().nautical_miles(), first, first * 0.01) << crossing_deg;
    }
}

// trade-facts 16: 40 NM from a VOR +-4.5 degrees is 3.14 NM across, its DME 0.75 NM along (95 %). The ring makes of it (d + t) sin e
// across, t beyond, d - (d - t) cos e short.
TEST(TruthToleranceArea, ARadialAndItsOwnDmeEncloseTheSectorOfARing) {
    const double tolerance_nm =
        radio::dme_tolerance(Length::nautical_miles(40), radio::Criteria::terps).nautical_miles();
    EXPECT_NEAR(tolerance_nm, 0.75, 1e-9);
    const ToleranceArea area = area_of({bearing_line(270, 40, 4.5), distance_line(270, 40, tolerance_nm)});
    const double e_rad = 4.5 * M_PI / 180.0;
    EXPECT_NEAR(area.across_half_size().nautical_miles() * 40.0 / 40.75, 3.14, 0.005);
    EXPECT_NEAR(area.beyond.nautical_miles(), 0.75, 0.003);
    EXPECT_NEAR(area.short_of.nautical_miles(), 40.0 - 39.25 * std::cos(e_rad), 0.003);
    EXPECT_NEAR(area.square_nm, e_rad * (40.75 * 40.75 - 39.25 * 39.25), 0.01);
}

// A DME off the track at g errs by t / cos g along it (the law of the right-angled triangle, for a ring far away).
TEST(TruthToleranceArea, ADmeOffTheTrackReachesByTheCosineOfItsAngle) {
    for (const double off_deg : {0.0, 10.0, 23.0}) {
        const ToleranceArea area =
            area_of({bearing_line(270, 20, 0.001), distance_line(270 + off_deg, 60, 1.0)});
        const double along = 1.0 / std::cos(off_deg * M_PI / 180.0);
        EXPECT_NEAR(area.short_of.nautical_miles(), along, 0.01);
        EXPECT_NEAR(area.beyond.nautical_miles(), along, 0.01);
    }
}

// Two rings, widths 2 t, crossing as their bearings do: 4 t1 t2 / sin g. They meet twice, and it is the part at the fix.
TEST(TruthToleranceArea, TwoDistancesEncloseTheParallelogramOfTheirRings) {
    for (const double between_deg : {30.0, 60.0, 90.0, 150.0}) {
        const ToleranceArea area =
            area_of({distance_line(270, 40, 0.02), distance_line(270 + between_deg, 30, 0.02)});
        const double expected = 4 * 0.02 * 0.02 / std::sin(between_deg * M_PI / 180.0);
        EXPECT_NEAR(area.square_nm, expected, expected * 0.02) << between_deg;
        EXPECT_LT(area.along_half_size().nautical_miles(), 1.0);
    }
}

// trade-facts 2 "cone of ambiguity": radii of the table ([computed] from the angles, which are [seen]) and the entry of 0.033 NM
// for each thousand feet over a VOR ([seen]).
TEST(TruthToleranceArea, TheZoneOverheadGrowsWithHeightAsTheTableSays) {
    struct Row {
        double height_ft, vor_nm, ndb_nm, entry_nm;
    };
    for (const Row& row :
         {Row{1000, 0.20, 0.14, 0.03}, Row{5000, 0.98, 0.69, 0.17}, Row{10000, 1.96, 1.38, 0.33},
          Row{20000, 3.92, 2.76, 0.66}, Row{30000, 5.88, 4.14, 0.99}, Row{40000, 7.85, 5.52, 1.32}}) {
        const OverheadZone vor = vor_zone(Length::feet(row.height_ft));
        const OverheadZone ndb = ndb_zone(Length::feet(row.height_ft));
        EXPECT_NEAR(vor.radius.nautical_miles(), row.vor_nm, 0.006);
        EXPECT_NEAR(vor.entered_abeam.nautical_miles(), row.entry_nm, 0.006);
        EXPECT_NEAR(ndb.radius.nautical_miles(), row.ndb_nm, 0.006);
        // Entered within 15 degrees of the track as seen from the beacon.
        EXPECT_NEAR(ndb.entered_abeam / ndb.radius, std::sin(15.0 * M_PI / 180.0), 1e-12);
    }
}

// Entered on the rim within d abeam, crossed on lines that part by 5 degrees: the far corners stand where those lines leave the
// circle, y = d + (x + sqrt(r2 - d2)) tan 5 (solved here by halving).
TEST(TruthToleranceArea, TheAreaOverheadIsWhatIsCrossedOfTheZone) {
    for (const OverheadZone& zone : {vor_zone(Length::feet(10000)), ndb_zone(Length::feet(10000))}) {
        const ToleranceArea area = area_of({zone});
        const double r = zone.radius.nautical_miles();
        const double d = zone.entered_abeam.nautical_miles();
        double low = 0.0;
        double high = r;
        for (int i = 0; i < 60; ++i) {
            const double x = (low + high) / 2.0;
            const double y = d + (x + std::sqrt(r * r - d * d)) * std::tan(5.0 * M_PI / 180.0);
            (x * x + y * y < r * r ? low : high) = x;
        }
        const double widest = d + (low + std::sqrt(r * r - d * d)) * std::tan(5.0 * M_PI / 180.0);
        EXPECT_NEAR(area.across_half_size().nautical_miles(), widest, 0.004);
        EXPECT_NEAR(area.short_of.nautical_miles(), r, 0.003);
        EXPECT_NEAR(area.beyond.nautical_miles(), r, 0.003);
    }
}

TEST(CaseToleranceArea, LinesThatMayRunParallelEncloseNothing) {
    const std::array<PositionLine, 2> lines{bearing_line(270, 20, 4.5), bearing_line(277, 30, 3.6)};
    const auto area = tolerance_area(somewhere, eastbound, lines);
    ASSERT_TRUE(std::holds_alternative<NoArea>(area));
    EXPECT_EQ(std::get<NoArea>(area), NoArea::open);
}

TEST(CaseToleranceArea, ARingInsideTheWidthOfWhatGuidesTellsNoPlace) {
    const std::array<PositionLine, 2> lines{bearing_line(270, 40, 4.5), distance_line(90, 1.0, 0.26)};
    const auto area = tolerance_area(somewhere, eastbound, lines);
    ASSERT_TRUE(std::holds_alternative<NoArea>(area));
    EXPECT_EQ(std::get<NoArea>(area), NoArea::ring);
}

TEST(CaseToleranceArea, CornersGoRoundClockwise) {
    const ToleranceArea area = area_of({bearing_line(270, 30, 4.5), bearing_line(0, 30, 3.6)});
    const auto corners = flat(somewhere, area);
    double twice = 0.0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const Flat a = corners[i];
        const Flat b = corners[(i + 1) % corners.size()];
        twice += a.x_nm * b.y_nm - b.x_nm * a.y_nm;
    }
    EXPECT_LT(twice, 0.0);  // x east, y north
    EXPECT_NEAR(-twice / 2.0, area.square_nm, area.square_nm * 0.001);
}

namespace {

struct Aid {
    Position place;
    PositionLine line;
};

// By how far a place is within a line's tolerance, in metres; negative: outside. By geodesics from the station, as its
// signal goes, and never on a plane.
double within_m(const Aid& aid, Position fix, Position place) {
    const earth::Geodesic here = earth::geodesic(aid.place, place);
    if (const auto* bearing = std::get_if<BearingLine>(&aid.line)) {
        const double off_rad = std::abs((here.initial - earth::geodesic(aid.place, fix).initial).radians());
        return (bearing->tolerance.radians() - off_rad) * here.distance.metres();
    }
    const auto& ring = std::get<DistanceLine>(aid.line);
    return std::min(here.distance.metres() - ring.nearest.metres(),
                    ring.farthest.metres() - here.distance.metres());
}

Aid aid_of(Position fix, PositionLine line) {
    const auto place = [&](TrueBearing toward, Length away) { return earth::destination(fix, toward, away); };
    if (const auto* bearing = std::get_if<BearingLine>(&line)) {
        return {place(bearing->station_from_fix, bearing->away), line};
    }
    const auto& ring = std::get<DistanceLine>(line);
    return {place(ring.antenna_from_fix, ring.away), line};
}

}  // namespace

// Two thousand places about each of sixty fixes, anywhere on the earth: a place is in the area where, and only where, the
// readings there are within the tolerances of all lines. Places within 10 m of a limit, or of the width of the chords, are left
// to rounding.
TEST(BruteToleranceArea, APlaceIsInTheAreaWhereItsReadingsAreWithinTheTolerances) {
    std::mt19937 random(20260);
    const auto even = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    int compared = 0;
    int found_inside = 0;
    for (int configuration = 0; configuration < 60; ++configuration) {
        const Position fix = Position::degrees(configuration % 10 == 0 ? 88.0 : even(-75, 75),
                                               configuration % 7 == 0 ? 179.99 : even(-180, 180));
        const double track_deg = even(0, 360);
        const double behind_deg = track_deg + 180;
        const double tolerance_deg = even(0.5, 6.9);
        std::vector<PositionLine> lines{bearing_line(behind_deg, even(5, 80), tolerance_deg)};
        const double away_nm = even(10, 80);
        switch (configuration % 4) {
            case 0:
                lines.push_back(bearing_line(behind_deg + even(30, 150), away_nm, even(0.5, 6.2)));
                break;
            case 1:
                lines.push_back(distance_line(behind_deg,
                                              std::get<BearingLine>(lines[0]).away.nautical_miles(),
                                              0.25 + 0.0125 * away_nm));
                break;
            case 2:
                lines.push_back(distance_line(track_deg + even(-23, 23), away_nm, 0.25 + 0.0125 * away_nm));
                break;
            default:
                lines = {distance_line(behind_deg, even(10, 40), even(0.3, 0.8)),
                         bearing_line(behind_deg + even(30, 60), away_nm, even(0.5, 4.5))};
                break;
        }
        const auto found = tolerance_area(fix, TrueBearing::degrees(track_deg), lines);
        if (std::holds_alternative<NoArea>(found)) {
            continue;
        }
        const auto& area = std::get<ToleranceArea>(found);
        const auto corners = flat(fix, area);
        const double reach_nm = 1.3 * std::hypot(area.along_half_size().nautical_miles(),
                                                 area.across_half_size().nautical_miles());
        std::vector<Aid> aids;
        for (const PositionLine& line : lines) {
            aids.push_back(aid_of(fix, line));
        }
        // Every corner stands on the limit of a line: the accuracy that the header states.
        for (const Position corner : area.corners) {
            const double limit_m = std::max(5.0, 0.0003 * earth::distance(fix, corner).metres());
            EXPECT_LT(std::abs(std::min(within_m(aids[0], fix, corner), within_m(aids[1], fix, corner))),
                      limit_m)
                << configuration;
        }
        for (int sample = 0; sample < 2000; ++sample) {
            const Position place =
                earth::destination(fix, TrueBearing::degrees(even(0, 360)),
                                   Length::nautical_miles(reach_nm * std::sqrt(even(0, 1))));
            const double margin_m = std::min(within_m(aids[0], fix, place), within_m(aids[1], fix, place));
            if (std::abs(margin_m) < 10.0) {
                continue;
            }
            ++compared;
            found_inside += margin_m > 0 ? 1 : 0;
            // The same readings may be had elsewhere too; the area is the part that holds the fix.
            if (inside(corners, flat(fix, place)) != (margin_m > 0)) {
                ADD_FAILURE() << "configuration " << configuration << ", " << margin_m << " m";
                break;
            }
        }
    }
    EXPECT_GT(compared, 80000);
    EXPECT_GT(found_inside, 8000);
}

RC_GTEST_PROP(LawToleranceArea, NarrowerTolerancesEncloseAnAreaInsideTheWider, ()) {
    const auto between = [](int low, int high) { return static_cast<double>(*rc::gen::inRange(low, high)); };
    const double behind_deg = between(0, 360);
    const double first_nm = between(5, 80);
    const double second_nm = between(5, 80);
    const double crossing_deg = between(30, 151);
    const double first_deg = between(5, 70) / 10.0;
    const double second_deg = between(5, 63) / 10.0;
    const double share = between(10, 100) / 100.0;
    const std::array<PositionLine, 2> wide{bearing_line(behind_deg, first_nm, first_deg),
                                           bearing_line(behind_deg + crossing_deg, second_nm, second_deg)};
    const std::array<PositionLine, 2> narrow{
        bearing_line(behind_deg, first_nm, first_deg * share),
        bearing_line(behind_deg + crossing_deg, second_nm, second_deg * share)};
    const TrueBearing track = TrueBearing::degrees(behind_deg + 180);
    const auto wider = std::get<ToleranceArea>(tolerance_area(somewhere, track, wide));
    const auto narrower = std::get<ToleranceArea>(tolerance_area(somewhere, track, narrow));
    RC_ASSERT(narrower.square_nm < wider.square_nm);
    const auto corners = flat(somewhere, wider);
    // A station that both areas reach is a corner of both.
    for (const Position corner : narrower.corners) {
        const Flat place = flat(somewhere, corner);
        RC_ASSERT((inside(corners, place) || on_the_edge(corners, place)));
    }
}

RC_GTEST_PROP(LawToleranceArea, TheFixIsInItsArea, ()) {
    const auto between = [](int low, int high) { return static_cast<double>(*rc::gen::inRange(low, high)); };
    const std::array<PositionLine, 2> lines{
        bearing_line(between(0, 360), between(1, 80), between(5, 70) / 10.0),
        distance_line(between(0, 360), between(2, 80), between(3, 13) / 10.0)};
    const auto area = tolerance_area(somewhere, eastbound, lines);
    if (const auto* known = std::get_if<ToleranceArea>(&area)) {
        RC_ASSERT(inside(flat(somewhere, *known), {}));
        RC_ASSERT(known->square_nm > 0.0);
    }
}

}  // namespace omniway::fixing
