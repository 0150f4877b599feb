#include "app/telling.hpp"

#include <fmt/format.h>

#include "app/detail/check_range.hpp"
#include "app/detail/reception_asked.hpp"
#include "app/plan_flight.hpp"
#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "radio/ground.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

std::optional<fixing::FixUse> use_of(Faults& faults, const std::string& word) {
    if (word == "en-route") {
        return fixing::FixUse::en_route;
    }
    if (word == "terminal") {
        return fixing::FixUse::terminal;
    }
    if (word == "holding") {
        return fixing::FixUse::holding;
    }
    faults.push_back(
        {"app.unknown_word",
         fmt::format("the use {} is not known; allowed: en-route, terminal, holding", base::in_quotes(word)),
         "--use"});
    return std::nullopt;
}

// What of that ident can be told at all: a fix or a station.
std::vector<navdata::Point> points_of(const navdata::Snapshot& world, const std::string& ident) {
    std::vector<navdata::Point> points;
    for (const navdata::Point& point : world.named(ident)) {
        if (std::holds_alternative<navdata::FixId>(point) ||
            std::holds_alternative<navdata::StationId>(point)) {
            points.push_back(point);
        }
    }
    return points;
}

Error no_such_fix(const navdata::Snapshot& world, const std::string& ident) {
    if (!world.named(ident).empty()) {
        return {"app.not_a_fix",
                fmt::format("{} is an airport or a runway; only fixes and stations are told",
                            base::in_quotes(ident)),
                "IDENT"};
    }
    const std::string near = base::did_you_mean(base::near_matches(ident, world.idents()));
    return {"app.unknown_ident",
            fmt::format("no fix or station {} in the atlas: {}", base::in_quotes(ident),
                        near.empty() ? "import the data that holds it" : near),
            "IDENT"};
}

}  // namespace

tl::expected<Told, Faults> tell_fix(const std::string& atlas, const Shipped& shipped,
                                    const TellingQuestion& question) {
    Faults faults;
    plan::FixRequest request;
    const auto criteria = parse_criteria(question.criteria, "--criteria");
    if (!criteria) {
        faults.push_back(criteria.error());
    }
    const auto use = use_of(faults, question.use);
    detail::check_range(faults, question.altitude_ft, 500, 60000, "altitude", "ft", "--altitude");
    detail::check_range(faults, question.track_deg, 0, 360, "track", "degrees", "--track");
    const auto reception = detail::reception_asked(faults, question.reception);
    if (question.aircraft) {
        auto aircraft = find_aircraft(shipped, *question.aircraft);
        if (aircraft) {
            request.aircraft = std::move(*aircraft);
        } else {
            faults.insert(faults.end(), aircraft.error().begin(), aircraft.error().end());
        }
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    auto world = open_world(atlas, shipped, {{}, false, {}});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    if (const auto fault = detail::no_terrain(*world, reception)) {
        return tl::unexpected(Faults{*fault});
    }
    request.criteria = *criteria;
    request.use = *use;
    request.today = question.today;
    if (question.altitude_ft) {
        request.altitude = base::Altitude::feet(*question.altitude_ft);
    }
    if (question.track_deg) {
        request.track = base::MagneticBearing::degrees(*question.track_deg);
    }
    Told told{std::move(*world), {}};
    const navdata::Snapshot& snapshot = *told.world.snapshot;
    const radio::Ground ground = ground_of(told.world, reception);
    for (const navdata::Point& point : points_of(snapshot, question.ident)) {
        request.point = point;
        told.reports.push_back(plan::fix_report(snapshot, ground, *told.world.model, request));
    }
    if (told.reports.empty()) {
        return tl::unexpected(Faults{no_such_fix(snapshot, question.ident)});
    }
    return told;
}

}  // namespace omniway::app
