#include "flight/own_join.hpp"

#include <array>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "fixing/telling.hpp"
#include "flight/en_route.hpp"
#include "flight/off_airway_minimum.hpp"
#include "procedure/reversal_rules.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight {

using base::Angle;
using base::Length;

namespace {

constexpr double largest_turn_deg = procedure::largest_turn_at_fix.degrees();
constexpr double onto_localizer_deg = 30.0;
constexpr double onto_radial_deg = 45.0;
constexpr Length farthest_apart = Length::nautical_miles(60.0);
constexpr Length first_meeting = Length::nautical_miles(2.0);  // established before the fix
constexpr Length last_meeting = Length::nautical_miles(12.0);
constexpr Length meeting_step = Length::nautical_miles(0.5);

double turn_deg(base::TrueBearing from, base::TrueBearing to) {
    return std::abs((to - from).degrees());
}

class Joiner {
public:
    Joiner(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
           const Settings& settings, const JoinQuestion& question)
        : world_(world), ground_(ground), aboard_(aboard), settings_(settings), question_(question) {}

    JoinOrReason result() const {
        if (earth::distance(question_.from.position, question_.to.position) > farthest_apart) {
            return {
                {},
                fmt::format("{} and {} are more than 60 NM apart", question_.from.ident, question_.to.ident)};
        }
        if (auto legs = straight()) {
            return {std::move(*legs), {}};
        }
        return by_heading();
    }

private:
    bool turns_well(base::TrueBearing out) const {
        return !question_.arriving || turn_deg(*question_.arriving, out) <= largest_turn_deg;
    }

    std::optional<std::vector<Leg>> straight() const {
        const earth::Geodesic line = earth::geodesic(question_.from.position, question_.to.position);
        if (!turns_well(line.initial) || turn_deg(line.arrival, question_.inbound) > largest_turn_deg) {
            return std::nullopt;
        }
        LegOrReason made = direct_leg(world_, ground_, aboard_, settings_, question_.from, question_.to,
                                      question_.altitude, question_.groundspeed(line.initial));
        if (!made.leg) {
            return std::nullopt;
        }
        const auto guided = procedure::station_of(made.leg->stretches.back().guidance);
        const auto told = telling(guided, line.arrival);
        if (!told) {
            return std::nullopt;
        }
        made.leg->phase = Phase::approach;
        made.leg->via = question_.procedure;
        made.leg->ending = procedure::AtFix{question_.to, *told};
        return std::vector<Leg>{std::move(*made.leg)};
    }

    std::optional<fixing::Telling> telling(std::optional<navdata::StationId> guided,
                                           base::TrueBearing track) const {
        fixing::FixQuestion asked;
        asked.fix = question_.to.position;
        asked.altitude = question_.altitude;
        asked.track = track;
        asked.guided_by = guided;
        asked.use = fixing::FixUse::terminal;
        asked.allowed_error = question_.allowed_error;
        asked.criteria = settings_.criteria;
        const auto found = fixing::tellings(world_, ground_, aboard_, asked);
        return found.ways.empty() ? std::nullopt : std::optional(found.ways.front());
    }

    bool heard_from(earth::Position meeting) const {
        const auto station = procedure::station_of(question_.guidance);
        if (!station) {
            return false;
        }
        const std::array<radio::PathPoint, 2> line = {
            radio::PathPoint{meeting, Length(), question_.altitude},
            radio::PathPoint{question_.to.position, earth::distance(meeting, question_.to.position),
                             question_.altitude}};
        return radio::lost_along(world_[*station], radio::Part::azimuth, line, ground_).empty();
    }

    JoinOrReason by_heading() const {
        const bool localizer = std::holds_alternative<procedure::OnLocalizer>(question_.guidance);
        const double largest_deg = localizer ? onto_localizer_deg : onto_radial_deg;
        if (!procedure::can_follow(world_, aboard_, question_.guidance)) {
            return {{}, procedure::lack_text(world_, question_.guidance)};
        }
        const auto told = telling(procedure::station_of(question_.guidance), question_.inbound);
        if (!told) {
            return {{}, question_.to.ident + " cannot be told on the course that leads over it"};
        }
        std::string why = fmt::format("no heading from {} meets the course to {} under {:.0f} degrees",
                                      question_.from.ident, question_.to.ident, largest_deg);
        for (Length before = first_meeting; before <= last_meeting; before += meeting_step) {
            const earth::Position meeting =
                earth::destination(question_.to.position, question_.inbound.reciprocal(), before);
            const earth::Geodesic heading = earth::geodesic(question_.from.position, meeting);
            if (turn_deg(heading.arrival, question_.inbound) > largest_deg || !turns_well(heading.initial)) {
                continue;
            }
            const Length limit = dead_reckoning_limit(settings_, question_.groundspeed(heading.initial));
            if (heading.distance > limit) {
                why = fmt::format("{:.1f} NM by heading from {} to the course to {}, {:.1f} NM allowed",
                                  heading.distance.nautical_miles(), question_.from.ident, question_.to.ident,
                                  limit.nautical_miles());
                continue;
            }
            if (!heard_from(meeting)) {
                why = fmt::format("the course to {} is not heard where a heading from {} meets it",
                                  question_.to.ident, question_.from.ident);
                continue;
            }
            return {legs(meeting, heading, *told), {}};
        }
        return {{}, why};
    }

    std::vector<Leg> legs(earth::Position meeting, const earth::Geodesic& heading,
                          const fixing::Telling& told) const {
        Leg by_heading = bare(question_.from.position, meeting, heading);
        by_heading.from = question_.from;
        by_heading.stretches.push_back({Length(), heading.distance, procedure::OnHeading{heading.initial}});
        by_heading.ending = procedure::AtIntercept{};
        const earth::Geodesic course = earth::geodesic(meeting, question_.to.position);
        Leg on_course = bare(meeting, question_.to.position, course);
        on_course.to = question_.to;
        on_course.stretches.push_back({Length(), course.distance, question_.guidance});
        on_course.ending = procedure::AtFix{question_.to, told};
        for (Leg* leg : {&by_heading, &on_course}) {
            leg->minimum =
                off_airway_minimum(world_, ground_, settings_, leg->start, leg->finish, leg->stretches);
        }
        return {std::move(by_heading), std::move(on_course)};
    }

    Leg bare(earth::Position start, earth::Position finish, const earth::Geodesic& line) const {
        Leg leg;
        leg.phase = Phase::approach;
        leg.via = question_.procedure;
        leg.start = start;
        leg.finish = finish;
        leg.track = line.initial;
        leg.arrival = line.arrival;
        leg.length = line.distance;
        return leg;
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    const Settings& settings_;
    const JoinQuestion& question_;
};

}  // namespace

JoinOrReason join_without_vectors(const navdata::Snapshot& world, const radio::Ground& ground,
                                  const cockpit::Equipment& aboard, const Settings& settings,
                                  const JoinQuestion& question) {
    return Joiner(world, ground, aboard, settings, question).result();
}

}  // namespace omniway::flight
