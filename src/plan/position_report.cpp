#include "plan/position_report.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "flight/strip.hpp"
#include "plan/wording.hpp"
#include "radio/reception.hpp"

namespace omniway::plan {

using base::Length;
using fixing::Wrong;
using navdata::Snapshot;

namespace {

constexpr Length farthest_vor = Length::nautical_miles(200.0);

// The corners that lie farthest apart; by chords, whose order is that of the geodesics to within the flattening.
Length extent_of(const fixing::BelievedRegion& region) {
    std::vector<earth::Position> corners;
    for (const auto& ring : region.rings) {
        corners.insert(corners.end(), ring.begin(), ring.end());
    }
    std::vector<std::array<double, 3>> on_sphere;
    on_sphere.reserve(corners.size());
    for (const earth::Position corner : corners) {
        on_sphere.push_back(earth::unit_vector(corner));
    }
    double least = 2.0;
    std::pair<std::size_t, std::size_t> ends{0, 0};
    for (std::size_t i = 0; i < on_sphere.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            const double dot = on_sphere[i][0] * on_sphere[j][0] + on_sphere[i][1] * on_sphere[j][1] +
                               on_sphere[i][2] * on_sphere[j][2];
            if (dot < least) {
                least = dot;
                ends = {i, j};
            }
        }
    }
    return corners.empty() ? Length() : earth::distance(corners[ends.first], corners[ends.second]);
}

std::string reciprocal_text(const fixing::Reading& reading) {
    if (const auto* read = std::get_if<fixing::RadialRead>(&reading.shown)) {
        return fmt::format("TO for FROM: {} is radial {}", reading.words,
                           three_figures(read->radial.reciprocal().degrees()));
    }
    return fmt::format("the tail of the pointer for its head: {}", reading.words);
}

}  // namespace

std::optional<ByStation> by_nearest_vor(const Snapshot& world, const radio::Ground& ground,
                                        earth::Position place, base::Altitude altitude) {
    for (const navdata::StationId id : world.stations_within(place, farthest_vor)) {
        const navdata::Station& station = world[id];
        if (navdata::vor(station) == nullptr ||
            !radio::hear(station, radio::Part::azimuth, place, altitude, ground).heard()) {
            continue;
        }
        ByStation by{id, *navdata::radial_of(station, place), earth::distance(navdata::site(station), place),
                     std::nullopt};
        if (station.dme && radio::hear(station, radio::Part::distance, place, altitude, ground).heard()) {
            const auto antenna = radio::antenna_site(station, radio::Part::distance, ground.terrain);
            by.slant_range = radio::slant_range(earth::distance(station.dme->position, place),
                                                {.aircraft = altitude, .antenna = antenna.antenna.altitude}) -
                             station.dme->bias;
        }
        return by;
    }
    return std::nullopt;
}

CardWay card_way(const Snapshot& world, const Option& option) {
    CardWay card;
    for (const radio::PathPoint& point : flight::path_of(world, option.flight)) {
        card.line.push_back(point.place);
        card.along.push_back(point.along);
    }
    Length along;
    for (const flight::TrackStep& step : option.compiled.track.steps) {
        along += step.length;
        card.steps.push_back({step.number, step.to, along});
    }
    return card;
}

AgainstCard against_card(const CardWay& card, earth::Position place) {
    OMNIWAY_EXPECTS(card.line.size() >= 2 && !card.steps.empty());
    Length nearest = Length::nautical_miles(1e6);
    Length along;
    Length aside;
    for (std::size_t i = 0; i + 1 < card.line.size(); ++i) {
        const earth::Geodesic piece = earth::geodesic(card.line[i], card.line[i + 1]);
        if (piece.distance <= Length()) {
            continue;
        }
        const earth::AlongAcross foot = earth::along_across(card.line[i], card.line[i + 1], place);
        const Length on = std::clamp(foot.along, Length(), piece.distance);
        const Length away = on == foot.along
                                ? abs(foot.across)
                                : earth::distance(on == Length() ? card.line[i] : card.line[i + 1], place);
        if (away < nearest) {
            nearest = away;
            along = card.along[i] + on;
            aside = foot.across < Length() ? -away : away;
        }
    }
    const auto step = std::find_if(card.steps.begin(), card.steps.end() - 1,
                                   [along](const CardWay::StepEnd& end) { return along < end.along; });
    return {step->number, step->to, along, aside, std::max(Length(), step->along - along)};
}

PositionReport position_report(const fixing::BeliefQuestion& question, const fixing::FreeRadios& free,
                               const CardWay* card, const base::Progress& progress) {
    PositionReport report{fixing::believe(question, progress)};
    const auto* belief = std::get_if<fixing::Belief>(&report.belief);
    if (belief == nullptr) {
        return report;
    }
    for (const fixing::Mode& mode : belief->modes) {
        PlaceReport place;
        place.by = by_nearest_vor(question.world, question.ground, mode.place, question.altitude);
        if (card != nullptr) {
            place.on_card = against_card(*card, mode.place);
        }
        place.fix = fixing::least_squares_fix(question, mode.stations, mode.place);
        report.places.push_back(std::move(place));
    }
    report.half_extent = extent_of(belief->half);
    report.most_extent = extent_of(belief->most);
    progress.at("what to tune next", 0.9);
    if (!progress.cancelled()) {
        report.next = fixing::next_readings(question, *belief, free);
    }
    return report;
}

std::string read_at_text(const PositionSetting& setting, base::Duration before) {
    if (setting.now) {
        return base::clock_text(base::Instant(*setting.now - before));
    }
    return before > base::Duration(0.0) ? fmt::format("{:.0f} min ago", base::in_minutes(before)) : "now";
}

std::string suspicion_text(const Snapshot& world, const std::vector<fixing::Reading>& readings,
                           const fixing::Suspicion& suspicion) {
    const auto named = [&] { return readings[*suspicion.reading].words; };
    switch (suspicion.wrong) {
        case Wrong::reciprocal:
            return reciprocal_text(readings[*suspicion.reading]);
        case Wrong::nothing:
            break;
        case Wrong::heading_off: {
            if (!suspicion.by) {
                return "the heading indicator is far off";
            }
            const double by = suspicion.by->degrees();
            return fmt::format("the heading indicator is off: it shows {:.0f} degrees {}", std::abs(by),
                               by > 0.0 ? "too much" : "too little");
        }
        case Wrong::station:
            return suspicion.station
                       ? fmt::format("{} is of {} {}", named(), navdata::kind_text(world[*suspicion.station]),
                                     world[*suspicion.station].ident)
                       : named() + " is of another station";
    }
    return fmt::format("it says nothing, misread or of another station: {}", named());
}

std::string next_text(const Snapshot& world, const fixing::NextReading& next) {
    constexpr std::array<std::string_view, 3> kinds = {"radial of", "distance of", "bearing to"};
    return fmt::format("{} {}", kinds[static_cast<std::size_t>(next.kind)], tuning_text(world[next.station]));
}

}  // namespace omniway::plan
