#include "flight/own_legs.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "aircraft/performance.hpp"
#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/detail/lines_over.hpp"
#include "flight/en_route.hpp"
#include "flight/intercept.hpp"
#include "flight/radial_turn.hpp"
#include "procedure/reversal_rules.hpp"

namespace omniway::flight {

using base::Angle;
using base::Length;
using detail::LineOver;
using navdata::StationId;

namespace {

// Ways of one kind that are worth a choice, and how many are laid out to find them.
constexpr std::size_t most_of_a_kind = 2;
constexpr std::size_t most_tried = 6;
// How far before the end a radial may be left for the line that leads over it; between them every choice is much like one of these.
constexpr std::array before_end_nm = {4.0, 8.0, 16.0, 32.0};

struct Candidate {
    const LineOver* line;
    Length before;    // where the line is joined
    double about_nm;  // the way whole, on a plane
};

class OwnLegs {
public:
    OwnLegs(const Circumstances& day, const OwnLegsQuestion& question)
        : day_(day), world_(day.world), question_(question) {}

    std::vector<LegsOrReason> result() {
        if (!question_.without_direct) {
            direct();
        }
        lines_ = detail::lines_over(day_, question_.to, question_.onward, question_.altitude,
                                    question_.from.position);
        by_heading();
        by_radials();
        return std::move(ways_);
    }

private:
    const StationId* aid_at(const procedure::PlacedFix& fix) const {
        const auto* id = fix.point ? std::get_if<StationId>(&*fix.point) : nullptr;
        const bool guides =
            id != nullptr && (navdata::vor(world_[*id]) != nullptr || navdata::ndb(world_[*id]) != nullptr);
        return guides ? id : nullptr;
    }

    void direct() {
        const base::TrueBearing track = earth::bearing(question_.from.position, question_.to.position);
        const base::Speed airspeed =
            aircraft::true_airspeed_cruise(day_.aircraft.performance, question_.altitude);
        const auto held = aircraft::hold_course(track, airspeed, day_.winds.at(question_.altitude));
        LegOrReason made =
            direct_leg(world_, day_.ground, day_.aircraft.equipment, day_.settings, question_.from,
                       question_.to, question_.altitude, held ? held->groundspeed : base::Speed::knots(1.0));
        LegsOrReason way{{}, std::move(made.refused)};
        if (made.leg) {
            way.legs.push_back(std::move(*made.leg));
        }
        if (way.legs.empty() || turns_well(way.legs)) {
            ways_.push_back(std::move(way));
        } else {
            ways_.push_back(
                {{},
                 base::Finding{base::Grade::blocks, "direct.turn_too_great",
                               fmt::format("direct {} to {}", question_.from.ident, question_.to.ident),
                               fmt::format("turns by more than {:.0f} degrees at one of its ends",
                                           procedure::largest_turn_at_fix.degrees()),
                               ""}});
        }
    }

    bool turns_well(const std::vector<Leg>& legs) const {
        return (!question_.arriving ||
                abs(legs.front().track - *question_.arriving) <= procedure::largest_turn_at_fix) &&
               (!question_.onward ||
                abs(*question_.onward - legs.back().arrival) <= procedure::largest_turn_at_fix);
    }

    template <class Make>
    void shortest_of(std::vector<Candidate> all, const Make& make) {
        std::stable_sort(all.begin(), all.end(),
                         [](const Candidate& a, const Candidate& b) { return a.about_nm < b.about_nm; });
        std::optional<LegsOrReason> why;
        std::size_t found = 0;
        for (std::size_t i = 0; i < std::min(all.size(), most_tried) && found < most_of_a_kind; ++i) {
            LegsOrReason made = make(all[i]);
            if (!made.legs.empty() && turns_well(made.legs) && !is_told_already(made.legs)) {
                ways_.push_back(std::move(made));
                ++found;
            } else if (made.refused && !why) {
                why = std::move(made);
            }
        }
        if (found == 0 && why) {
            ways_.push_back(std::move(*why));
        }
    }

    // Two aids on one line make the same two legs.
    bool is_told_already(const std::vector<Leg>& legs) const {
        return std::any_of(ways_.begin(), ways_.end(), [&](const LegsOrReason& way) {
            return way.legs.size() == legs.size() &&
                   earth::distance(way.legs.front().finish, legs.front().finish) <
                       Length::nautical_miles(1.0);
        });
    }

    void by_heading() {
        const double most_nm = day_.settings.dead_reckoning_distance.nautical_miles();
        std::vector<Candidate> all;
        for (const LineOver& line : lines_) {
            const double aside_nm = line.aside.nautical_miles();
            // Under 45 degrees, the steepest.
            const Length before = line.before - line.aside;
            if (aside_nm * std::sqrt(2.0) > most_nm || before < Length::nautical_miles(1.5) ||
                aside_nm < 0.5) {
                continue;
            }
            all.push_back({&line, before, before.nautical_miles() + aside_nm * std::sqrt(2.0)});
        }
        shortest_of(std::move(all), [&](const Candidate& candidate) {
            return intercept_legs(day_, {question_.from, question_.arriving, candidate.line->onto,
                                         question_.to, question_.altitude, Length()});
        });
    }

    void by_radials() {
        if (aid_at(question_.from) == nullptr) {
            return;
        }
        std::vector<Candidate> all;
        for (const LineOver& line : lines_) {
            for (const double before_nm : before_end_nm) {
                const double ahead_nm = line.before.nautical_miles() - before_nm;
                const double aside_nm = line.aside.nautical_miles();
                const double out_nm = std::hypot(ahead_nm, aside_nm);
                const bool turns_back = ahead_nm < -0.5 * out_nm;  // by more than 120 degrees
                if (aside_nm > 2.0 && !turns_back) {
                    all.push_back({&line, Length::nautical_miles(before_nm), out_nm + before_nm});
                }
            }
        }
        shortest_of(std::move(all), [&](const Candidate& candidate) {
            return radial_turn_legs(day_, {question_.from, question_.arriving, candidate.line->onto,
                                           question_.to, question_.altitude, candidate.before});
        });
    }

    const Circumstances& day_;
    const navdata::Snapshot& world_;
    const OwnLegsQuestion& question_;
    std::vector<LineOver> lines_;
    std::vector<LegsOrReason> ways_;
};

}  // namespace

std::vector<LegsOrReason> own_legs(const Circumstances& circumstances, const OwnLegsQuestion& question) {
    return OwnLegs(circumstances, question).result();
}

}  // namespace omniway::flight
