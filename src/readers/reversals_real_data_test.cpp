// Every hold and procedure turn of a published file, flown: the coding reads as trade-facts 13.9 says, and the pieces keep to it.
#include <cmath>
#include <cstdio>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/course_reversal.hpp"
#include "procedure/path.hpp"
#include "readers/arinc424.hpp"
#include "tests/joined_pieces.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {
namespace {

using namespace base::literals;
using base::Angle;
using base::Length;
using base::Speed;
using base::TrueBearing;
using navdata::PathTerminator;
using procedure::Motion;

struct CodedLeg {
    std::string name;
    const navdata::Leg* leg = nullptr;
    const navdata::Leg* next = nullptr;  // the next that has a course
    const navdata::Procedure* procedure = nullptr;
    base::Variation variation;
};

navdata::Snapshot world_of(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    navdata::Source source;
    source.file = file.filename().string();
    return navdata::Snapshot::build(read_arinc424(text.str(), source, {}).value).value;
}

// The first leg after one that has a course: in its branch, else in the approach's own part, which every transition leads into.
// Some own parts begin in the middle, at their missed approach: the file is a part of the published one.
const navdata::Leg* next_course(const navdata::Procedure& procedure, const navdata::Branch& branch,
                                std::size_t leg) {
    for (std::size_t i = leg + 1; i < branch.legs.size(); ++i) {
        if (branch.legs[i].course) {
            return &branch.legs[i];
        }
    }
    constexpr std::uint32_t last_first_sequence = 20;
    for (const navdata::Branch& own : procedure.branches) {
        if (own.legs.front().sequence > last_first_sequence) {
            continue;
        }
        for (const navdata::Leg& candidate : own.legs) {
            if (own.transition.empty() && &own != &branch && candidate.course) {
                return &candidate;
            }
        }
    }
    return nullptr;
}

std::vector<CodedLeg> legs_of(const navdata::Snapshot& world) {
    std::vector<CodedLeg> all;
    for (const navdata::Procedure& procedure : world.procedures()) {
        const auto airport = world.airport(procedure.airport);
        const base::Variation variation =
            airport ? world[*airport].variation.value_or(base::Variation()) : base::Variation();
        for (const navdata::Branch& branch : procedure.branches) {
            for (std::size_t i = 0; i < branch.legs.size(); ++i) {
                all.push_back({procedure.airport + " " + procedure.ident + " " + branch.transition + " " +
                                   std::to_string(branch.legs[i].sequence),
                               &branch.legs[i], next_course(procedure, branch, i), &procedure, variation});
            }
        }
    }
    return all;
}

bool is_hold(PathTerminator t) {
    return t == PathTerminator::HA || t == PathTerminator::HF || t == PathTerminator::HM;
}

// A light single, a fast twin and a jet, in still air and in 25 kt from each quarter of the inbound course.
std::vector<Motion> motions(TrueBearing inbound) {
    std::vector<Motion> all;
    for (const double knots : {90.0, 140.0, 200.0}) {
        const Speed speed = Speed::knots(knots);
        all.push_back({speed, {}, aircraft::planned_turn(speed)});
        for (const double off : {0.0, 90.0, 180.0, 270.0}) {
            all.push_back({speed, {inbound + Angle::degrees(off), 25_kt}, aircraft::planned_turn(speed)});
        }
    }
    return all;
}

aircraft::ApproachCategory category_of(const Motion& motion) {
    return motion.true_airspeed < 150_kt ? aircraft::ApproachCategory::b : aircraft::ApproachCategory::c;
}

void expect_joined(const std::vector<procedure::TrackPiece>& pieces, const std::string& name) {
    ASSERT_FALSE(pieces.empty()) << name;
    const testing::WorstJoin joins = testing::worst_join(pieces);
    EXPECT_LT(joins.gap_m, 1.0) << name;
    EXPECT_LT(joins.kink_deg, 0.1) << name;
}

}  // namespace

TEST(TruthReversalsRealData, TheBarbOfEveryProcedureTurnIsThatOfTheCourseFlownInboundAfterIt) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const navdata::Snapshot world = world_of(folder / "cifp" / "faa_cifp_2101_part.txt");
    int turns = 0;
    int compared = 0;
    int agree = 0;
    for (const CodedLeg& coded : legs_of(world)) {
        if (coded.leg->terminator != PathTerminator::PI) {
            continue;
        }
        ASSERT_TRUE(coded.leg->course && coded.leg->distance) << coded.name;
        ASSERT_TRUE(coded.leg->turn == navdata::Turn::left || coded.leg->turn == navdata::Turn::right)
            << coded.name;
        ++turns;
        if (coded.next == nullptr) {
            continue;  // a part of a file: the approach's own legs are not in it
        }
        // As coded, in magnetic degrees of two aids: their declinations may differ by some.
        const TrueBearing outbound =
            procedure::outbound_of_barb(TrueBearing::degrees(coded.leg->course->degrees), coded.leg->turn);
        const TrueBearing inbound = TrueBearing::degrees(coded.next->course->degrees);
        const double off = std::abs((outbound.reciprocal() - inbound).degrees());
        ++compared;
        agree += off <= 1.0 ? 1 : 0;
        if (off > 1.0) {
            std::printf("  %s: out on %05.1f, in on %05.1f\n", coded.name.c_str(), outbound.degrees(),
                        inbound.degrees());
        }
        // The other reading of the turn would put it 90 degrees off.
        EXPECT_LE(off, 15.0) << coded.name;
    }
    std::printf("procedure turns: %d coded, %d with a course after them, %d within a degree of it\n", turns,
                compared, agree);
    EXPECT_GT(compared, turns / 2);
    EXPECT_GE(agree * 10, compared * 9);
}

TEST(LawReversalsRealData, EveryProcedureTurnJoinsAndStaysWithinItsDistanceOrSaysSo) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const navdata::Snapshot world = world_of(folder / "cifp" / "faa_cifp_2101_part.txt");
    std::map<std::string, int> outcome;
    for (const CodedLeg& coded : legs_of(world)) {
        if (coded.leg->terminator != PathTerminator::PI || coded.next == nullptr) {
            continue;
        }
        const auto fix = procedure::place_fix(world, *coded.leg, coded.procedure);
        if (!fix) {
            outcome["no place for its fix"] += 1;
            continue;
        }
        const TrueBearing inbound =
            procedure::course_of(world, *coded.next, *coded.next->course, coded.variation);
        const procedure::ProcedureTurn turn{
            .fix = fix->position,
            .inbound = inbound,
            .barb = procedure::course_of(world, *coded.leg, *coded.leg->course, coded.variation),
            .back = coded.leg->turn,
            .within = *coded.leg->distance};
        using procedure::ReversalManner;
        for (const Motion& motion : motions(inbound)) {
            for (const auto manner : {ReversalManner::fortyfive_oneeighty, ReversalManner::eighty_twosixty}) {
                for (const bool from_behind : {false, true}) {
                    const TrueBearing arriving = from_behind ? inbound : inbound.reciprocal();
                    const auto track =
                        procedure::procedure_turn_pieces(turn, manner, motion, category_of(motion), arriving);
                    ASSERT_TRUE(track) << coded.name;
                    expect_joined(track->pieces, coded.name);
                    const double walked = testing::farthest_walked_nm(track->pieces, turn.fix);
                    EXPECT_TRUE(!track->stays_within || walked <= turn.within.nautical_miles() + 0.002)
                        << coded.name;
                    outcome[std::to_string(std::lround(motion.true_airspeed.knots())) + " kt, arriving " +
                            (from_behind ? "inbound" : "outbound") + ", " +
                            (track->stays_within ? "within" : "not within")] += 1;
                }
            }
        }
    }
    for (const auto& [what, number] : outcome) {
        std::printf("procedure turns: %s %d\n", what.c_str(), number);
    }
    // A light single fits from any side, and everything that arrives along the outbound course.
    EXPECT_EQ(
        outcome["90 kt, arriving outbound, not within"] + outcome["90 kt, arriving inbound, not within"], 0);
    EXPECT_EQ(outcome["140 kt, arriving outbound, not within"], 0);
    EXPECT_EQ(outcome["200 kt, arriving outbound, not within"], 0);
    EXPECT_GT(outcome["90 kt, arriving outbound, within"], 0);
}

TEST(LawReversalsRealData, EveryHoldIsEnteredFromEveryThirtyDegreesAndFlownBackOverItsFix) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const navdata::Snapshot world = world_of(folder / "cifp" / "faa_cifp_2101_part.txt");
    std::map<std::string, int> outcome;
    for (const CodedLeg& coded : legs_of(world)) {
        if (!is_hold(coded.leg->terminator)) {
            continue;
        }
        const std::string code = navdata::to_text(coded.leg->terminator);
        const auto fix = procedure::place_fix(world, *coded.leg, coded.procedure);
        if (!fix || !coded.leg->course || (!coded.leg->distance && !coded.leg->time)) {
            outcome[code + (fix ? " without course or leg" : " no place for its fix")] += 1;
            continue;
        }
        procedure::Hold hold;
        hold.fix = fix->position;
        hold.inbound = procedure::course_of(world, *coded.leg, *coded.leg->course, coded.variation);
        hold.side = coded.leg->turn;
        if (coded.leg->distance) {
            hold.leg = *coded.leg->distance;
        } else {
            hold.leg = *coded.leg->time;
        }
        outcome[code + (coded.leg->distance ? " by distance" : " by time")] += 1;
        for (const Motion& motion : motions(hold.inbound)) {
            const auto one = procedure::circuit(hold, motion);
            ASSERT_TRUE(one) << coded.name;
            expect_joined(one->pieces, coded.name);
            const earth::Position end = procedure::finish_of(one->pieces.back()).place;
            EXPECT_LT(earth::distance(end, hold.fix).nautical_miles(), 0.05) << coded.name;
            outcome[one->as_asked ? "circuits as asked" : "circuits lengthened"] += 1;
            for (int from = 0; from < 360; from += 30) {
                const TrueBearing arriving = TrueBearing::degrees(from);
                const auto entry = procedure::hold_entry(arriving, hold.inbound, hold.side);
                const auto track = procedure::entry_pieces(hold, entry, motion, arriving);
                ASSERT_TRUE(track) << coded.name;
                expect_joined(track->pieces, coded.name);
                const earth::Position over = procedure::finish_of(track->pieces.back()).place;
                EXPECT_LT(earth::distance(over, hold.fix).nautical_miles(), 0.05) << coded.name;
                outcome["entries " + procedure::to_text(entry) + (track->as_asked ? "" : " lengthened")] += 1;
            }
        }
    }
    for (const auto& [what, number] : outcome) {
        std::printf("holds: %s %d\n", what.c_str(), number);
    }
    EXPECT_GT(outcome["HM by time"] + outcome["HM by distance"], 0);
}

}  // namespace omniway::readers
