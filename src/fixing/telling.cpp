#include "fixing/telling.hpp"

#include <fmt/format.h>

#include "fixing/detail/survey.hpp"
#include "radio/reception.hpp"

namespace omniway::fixing {

namespace {

std::string reason(const navdata::Station& station, const Refusal& refusal) {
    const auto degrees = [](const std::optional<base::Angle>& angle) {
        return angle ? angle->degrees() : 0.0;
    };
    const auto miles = [](const std::optional<base::Length>& length) {
        return length ? length->nautical_miles() : 0.0;
    };
    switch (refusal.obstacle) {
        case Obstacle::not_heard:
            return "is " +
                   (refusal.reception ? radio::to_text(*refusal.reception) : std::string("not heard"));
        case Obstacle::dme_not_heard:
            return "DME is " +
                   (refusal.reception ? radio::to_text(*refusal.reception) : std::string("not heard"));
        case Obstacle::crosses_too_shallow:
            return fmt::format("crosses at {:.0f} degrees, {:.0f} needed", degrees(refusal.angle),
                               degrees(refusal.angle_limit));
        case Obstacle::off_the_track:
            return fmt::format("has a DME {:.0f} degrees off the track, at most {:.0f} allowed",
                               degrees(refusal.angle), degrees(refusal.angle_limit));
        case Obstacle::error_too_large:
            return fmt::format("tells it only within {:.1f} NM, {:.1f} NM allowed", miles(refusal.error),
                               miles(refusal.error_limit));
        case Obstacle::off_its_course:
            return fmt::format("has its course line {:.1f} degrees away", degrees(refusal.angle));
        case Obstacle::lines_run_together:
            return "gives a line that within the tolerances never parts from the one flown";
        case Obstacle::other_end_in_use:
            return "shares its frequency with the other end, and only the one in use is on the air";
        case Obstacle::ring_closes:
            return "is so near that its distance is read all around it within the tolerance of what guides";
        case Obstacle::no_second_receiver:
            return "needs a second receiver";
        case Obstacle::no_localizer_receiver:
            return "needs a second receiver for its localizer";
        case Obstacle::no_dme:
            return "tells it only with a DME aboard";
        case Obstacle::no_free_dme:
            return "has a DME that only the guiding receiver could tune";
        case Obstacle::no_adf:
            return "tells it only with an ADF aboard";
        case Obstacle::no_second_adf:
            return "needs a second ADF";
        case Obstacle::no_marker_records:
            return fmt::format("at {}: no marker beacons are recorded, so none is named", station.airport);
    }
    return "";
}

}  // namespace

std::string to_text(const navdata::Snapshot& world, const Refusal& refusal) {
    const navdata::Station& station = world[refusal.station];
    return fmt::format("{} {} {}", navdata::kind_text(station), station.ident, reason(station, refusal));
}

Tellings tellings(const navdata::Snapshot& world, const radio::Ground& ground,
                  const cockpit::Equipment& aboard, const FixQuestion& question) {
    auto found = detail::Survey(world, ground, &aboard, question).findings();
    Tellings told{{}, std::move(found.refused)};
    told.ways.reserve(found.ways.size());
    for (const detail::Candidate& candidate : found.ways) {
        told.ways.push_back(candidate.telling);
    }
    return told;
}

}  // namespace omniway::fixing
