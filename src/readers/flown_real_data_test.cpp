// Procedures as they are flown, against what the FAA publishes: every conventional approach whose fixes are in the data.
#include <cmath>
#include <cstdio>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <variant>
#include <vector>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "readers/arinc424.hpp"
#include "tests/leg_table.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {

namespace {

using base::Angle;
using base::Length;
using base::TrueBearing;
using navdata::PathTerminator;
using omniway::testing::FlownWay;
using procedure::FlownLeg;
using procedure::FlownPath;
using procedure::GroundArc;
using procedure::OnTrack;
using procedure::PlacedLeg;
using procedure::Straight;
using procedure::TrackPiece;

constexpr Length at_its_fix = Length::nautical_miles(0.1);

std::string contents(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
}

navdata::Snapshot world_of(const std::filesystem::path& folder, const char* name) {
    return navdata::Snapshot::build(read_arinc424(contents(folder / "cifp" / name), {}, {}).value).value;
}

constexpr const char* files[] = {"faa_cifp_2101_part.txt", "faa_cifp_KJFK_complete_2002-03.txt"};

aircraft::Aircraft twin() {
    return testing::aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
}

const weather::Wind calm{};
const weather::Wind westerly{TrueBearing::degrees(270.0), base::Speed::knots(25.0)};

std::vector<FlownWay> flown(const navdata::Snapshot& world, const weather::Wind& wind) {
    const aircraft::Aircraft aircraft = twin();
    return testing::fly_every_approach(world, aircraft, wind, procedure::ReversalManner::fortyfive_oneeighty);
}

std::string named(const FlownWay& way, const PlacedLeg& leg) {
    return fmt::format("{} {} via {} leg {:03} {} {}", way.way.procedure->airport, way.way.procedure->ident,
                       way.way.transition, leg.coded->sequence, navdata::to_text(leg.coded->terminator),
                       leg.coded->fix ? leg.coded->fix->ident : "");
}

template <class Check>
void each_path(const std::vector<FlownWay>& all, const Check& check) {
    for (const FlownWay& way : all) {
        check(way, way.way.legs, way.approach);
        check(way, way.way.missed, way.missed);
    }
}

// How far a place lies from a piece carried on beyond both its ends.
Length beside(const TrackPiece& piece, earth::Position place) {
    if (const auto* line = std::get_if<Straight>(&piece)) {
        const earth::Position ahead =
            earth::destination(line->from, line->track, Length::nautical_miles(40.0));
        return abs(earth::along_across(line->from, ahead, place).across);
    }
    if (const auto* arc = std::get_if<GroundArc>(&piece)) {
        return abs(earth::distance(arc->centre, place) - arc->radius);
    }
    return Length::nautical_miles(99.0);
}

const TrackPiece* last_not_turning(const FlownLeg& leg) {
    for (auto piece = leg.pieces.rbegin(); piece != leg.pieces.rend(); ++piece) {
        if (!std::holds_alternative<procedure::AirTurn>(*piece)) {
            return &*piece;
        }
    }
    return nullptr;
}

const TrackPiece* first_not_turning(const FlownLeg& leg) {
    for (const TrackPiece& piece : leg.pieces) {
        if (!std::holds_alternative<procedure::AirTurn>(piece)) {
            return &piece;
        }
    }
    return nullptr;
}

}  // namespace

// The table of the report docs/reports/legs.md. More than one leg of twenty drawn simpler than it is flown, or one without a reason, is a
// fault of the geometry.
TEST(TruthFlownRealData, OfThePublishedLegsAtMostOneInTwentyIsDrawnSimplerThanItIsFlown) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    for (const weather::Wind& wind : {calm, westerly}) {
        testing::LegCount count;
        std::vector<navdata::Snapshot> worlds;
        std::vector<std::vector<FlownWay>> all;
        for (const char* name : files) {
            worlds.push_back(world_of(folder, name));
        }
        for (const navdata::Snapshot& world : worlds) {
            all.push_back(flown(world, wind));
            count.add(all.back());
        }
        const testing::LegTable table = count.table();
        std::printf("wind %s, %zu ways\n%s\n", weather::to_text(wind).c_str(), table.ways,
                    testing::to_text(table).c_str());
        EXPECT_GT(table.tried(), 500U);
        EXPECT_LE(table.fell_back() * 20, table.tried());
        for (const auto& [name, row] : table.rows) {
            EXPECT_EQ(row.fell_back.count(""), 0U) << name << " falls back without a reason";
        }
    }
}

TEST(TruthFlownRealData,
     OfThePublishedLegsOfDeparturesAndArrivalsAtMostOneInTwentyIsDrawnSimplerThanItIsFlown) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const aircraft::Aircraft aircraft = twin();
    testing::LegCount count;
    std::vector<navdata::Snapshot> worlds;
    for (const char* name : files) {
        worlds.push_back(world_of(folder, name));
    }
    for (const navdata::Snapshot& world : worlds) {
        count.add(testing::fly_every_branch(world, aircraft, westerly));
    }
    const testing::LegTable table = count.table();
    std::printf("%zu branches\n%s\n", table.ways, testing::to_text(table).c_str());
    EXPECT_GT(table.tried(), 100U);
    EXPECT_LE(table.fell_back() * 20, table.tried());
}

TEST(TruthFlownRealData, EveryPublishedLegBeginsWhereTheOneBeforeEnds) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::size_t joins = 0;
    for (const char* name : files) {
        const auto world = world_of(folder, name);
        for (const weather::Wind& wind : {calm, westerly}) {
            each_path(flown(world, wind),
                      [&](const FlownWay& way, const std::vector<PlacedLeg>& placed, const FlownPath& path) {
                          std::optional<OnTrack> before;
                          for (const FlownLeg& leg : path.legs) {
                              for (const TrackPiece& piece : leg.pieces) {
                                  const OnTrack start = procedure::start_of(piece);
                                  if (before) {
                                      ++joins;
                                      EXPECT_LT(earth::distance(before->place, start.place).metres(), 5.0)
                                          << named(way, placed[leg.leg]);
                                      if (!leg.fallback) {
                                          EXPECT_NEAR((start.track - before->track).degrees(), 0.0, 0.5)
                                              << named(way, placed[leg.leg]);
                                      }
                                  }
                                  before = procedure::finish_of(piece);
                              }
                          }
                      });
        }
    }
    std::printf("joins of pieces: %zu\n", joins);
    EXPECT_GT(joins, 2000U);
}

// A fix that is flown over is where its leg ends. One that is anticipated lies where the line or arc of its leg, carried on, meets that of
// the next leg: beside neither by more than a tenth of a mile.
TEST(TruthFlownRealData, EveryPublishedLegEndsAtItsCodedFix) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::size_t over = 0;
    std::size_t anticipated = 0;
    for (const char* name : files) {
        const auto world = world_of(folder, name);
        for (const weather::Wind& wind : {calm, westerly}) {
            each_path(flown(world, wind),
                      [&](const FlownWay& way, const std::vector<PlacedLeg>& placed, const FlownPath& path) {
                          for (std::size_t i = 0; i < path.legs.size(); ++i) {
                              const FlownLeg& leg = path.legs[i];
                              if (!leg.coded_end || leg.pieces.empty() || leg.fallback) {
                                  continue;
                              }
                              if (!leg.anticipated) {
                                  ++over;
                                  EXPECT_LT(earth::distance(procedure::finish_of(leg.pieces.back()).place,
                                                            *leg.coded_end),
                                            at_its_fix)
                                      << named(way, placed[i]);
                                  continue;
                              }
                              ++anticipated;
                              const TrackPiece* to = last_not_turning(leg);
                              const TrackPiece* from =
                                  i + 1 < path.legs.size() ? first_not_turning(path.legs[i + 1]) : nullptr;
                              if (to != nullptr) {
                                  EXPECT_LT(beside(*to, *leg.coded_end), at_its_fix) << named(way, placed[i]);
                              }
                              if (from != nullptr) {
                                  EXPECT_LT(beside(*from, *leg.coded_end), at_its_fix)
                                      << named(way, placed[i]) << ", by the next leg";
                              }
                          }
                      });
        }
    }
    std::printf("ends of legs: %zu over their fix, %zu anticipated\n", over, anticipated);
    EXPECT_GT(over, 500U);
    EXPECT_GT(anticipated, 50U);
}

// Columns 75-78 of a leg between two fixes: rounded to 0.1 NM.
TEST(TruthFlownRealData, TheCodedDistanceOfALegIsThatOfItsLine) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::size_t tried = 0;
    std::size_t close = 0;
    std::map<const navdata::Leg*, bool> seen;
    for (const char* name : files) {
        const auto world = world_of(folder, name);
        each_path(flown(world, calm), [&](const FlownWay& way, const std::vector<PlacedLeg>& placed,
                                          const FlownPath& path) {
            for (const FlownLeg& leg : path.legs) {
                const PlacedLeg& each = placed[leg.leg];
                const auto terminator = each.coded->terminator;
                const bool a_line = terminator == PathTerminator::TF || terminator == PathTerminator::CF;
                if (!a_line || !each.coded->distance || !each.from || seen[each.coded]) {
                    continue;
                }
                seen[each.coded] = true;
                ++tried;
                const double off =
                    (earth::distance(each.from->position, *leg.coded_end) - *each.coded->distance)
                        .nautical_miles();
                close += std::abs(off) <= 0.1 ? 1 : 0;
                if (std::abs(off) > 0.1) {
                    std::printf("  %s codes %.1f NM, its fixes are %+.2f apart\n", named(way, each).c_str(),
                                each.coded->distance->nautical_miles(), off);
                }
            }
        });
    }
    std::printf("coded distances: %zu of %zu within 0.1 NM\n", close, tried);
    EXPECT_GT(tried, 100U);
    EXPECT_GE(close * 100, tried * 95);
}

// The track flown to the missed approach point against the course in the record of its localizer (columns 52-55), with its declination: the
// fixes flown between know nothing of it. One localizer (KCHS 33) is recorded at 334.0, while the fixes of its own approaches are coded on its
// bearing 154.4 (63-66): there that bearing decides, and aerial and threshold, 327.4 true from each other, bear it out.
TEST(TruthFlownRealData, FinalsOnALocalizerAreFlownWithinThreeTenthsOfADegreeOfTheirCodedCourse) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::size_t tried = 0;
    std::size_t by_record = 0;
    for (const char* name : files) {
        const auto world = world_of(folder, name);
        for (const FlownWay& way : flown(world, westerly)) {
            for (const FlownLeg& leg : way.approach.legs) {
                const PlacedLeg& placed = way.way.legs[leg.leg];
                const auto* on = std::get_if<procedure::OnLocalizer>(&placed.guidance);
                if (on == nullptr || !placed.coded->is_missed_approach_point() || leg.pieces.empty()) {
                    continue;
                }
                const navdata::LocalizerAzimuth& azimuth = *navdata::localizer(world[on->station]);
                const TrueBearing front = base::to_true(azimuth.course, azimuth.declination);
                const TrueBearing record = on->back_course ? front.reciprocal() : front;
                const TrueBearing track = procedure::finish_of(leg.pieces.back()).track;
                const bool as_recorded = abs(track - record) <= Angle::degrees(0.3);
                ++tried;
                by_record += as_recorded ? 1 : 0;
                if (!as_recorded) {
                    const auto theta = procedure::bearing_from_aid(world, *placed.coded);
                    ASSERT_TRUE(theta) << named(way, placed);
                    const double off = (track - theta->reciprocal()).degrees();
                    std::printf(
                        "  %s is flown %+.2f off its localizer's record, %+.2f off the bearing of its fix\n",
                        named(way, placed).c_str(), (track - record).degrees(), off);
                    EXPECT_NEAR(off, 0.0, 0.3) << named(way, placed);
                }
            }
        }
    }
    std::printf("finals on a localizer: %zu, within 0.3 degrees of the localizer's record: %zu\n", tried,
                by_record);
    EXPECT_GT(tried, 80U);
    EXPECT_GE(by_record + 4, tried);
}

// trade-facts 13.9: the course of a PI is 45 degrees off the outbound course, and its turn the one that follows; theta of an AF is its end,
// rho its radius, its course the radial it begins on.
TEST(TruthFlownRealData, ProcedureTurnsAndArcsReadAsTheFactsSay) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::size_t turns = 0;
    std::size_t arcs = 0;
    for (const char* name : files) {
        const auto world = world_of(folder, name);
        for (const FlownWay& way : flown(world, calm)) {
            for (std::size_t i = 0; i < way.approach.legs.size(); ++i) {
                const PlacedLeg& placed = way.way.legs[i];
                const FlownLeg& leg = way.approach.legs[i];
                if (placed.coded->terminator == PathTerminator::PI) {
                    ++turns;
                    const bool right = placed.coded->turn == navdata::Turn::right;
                    const TrueBearing barb =
                        procedure::course_of(world, *placed.coded, *placed.coded->course, {});
                    const TrueBearing inbound = way.way.legs.at(i + 1).track;
                    const double outbound_off =
                        ((barb + Angle::degrees(right ? 45.0 : -45.0)) - inbound.reciprocal()).degrees();
                    EXPECT_NEAR(outbound_off, 0.0, 2.0) << named(way, placed);
                    for (const TrackPiece& piece : leg.pieces) {
                        EXPECT_LT(earth::distance(procedure::finish_of(piece).place, placed.start),
                                  placed.coded->distance.value() + Length::nautical_miles(0.1))
                            << named(way, placed);
                    }
                    EXPECT_FALSE(leg.fallback) << named(way, placed);
                }
                if (placed.coded->terminator == PathTerminator::AF) {
                    const auto* on = std::get_if<procedure::OnArc>(&placed.guidance);
                    if (on == nullptr) {
                        continue;
                    }
                    ++arcs;
                    const earth::Position site = navdata::site(world[on->station]);
                    const auto theta = procedure::bearing_from_aid(world, *placed.coded);
                    EXPECT_NEAR((earth::bearing(site, placed.finish) - *theta).degrees(), 0.0, 0.5)
                        << named(way, placed);
                    EXPECT_NEAR(earth::distance(site, placed.finish).nautical_miles(),
                                placed.coded->rho->nautical_miles(), 0.1);
                    EXPECT_NEAR(earth::distance(site, placed.start).nautical_miles(),
                                placed.coded->rho->nautical_miles(), 0.15)
                        << named(way, placed);
                    const bool right = placed.coded->turn == navdata::Turn::right;
                    for (const TrackPiece& piece : leg.pieces) {
                        if (const auto* arc = std::get_if<GroundArc>(&piece)) {
                            EXPECT_EQ(arc->swept > Angle(), right);
                        }
                    }
                }
            }
        }
    }
    std::printf("procedure turns: %zu, arcs: %zu\n", turns, arcs);
    EXPECT_GE(turns, 10U);
    EXPECT_GT(arcs, 15U);
}

}  // namespace omniway::readers
