#include "fixing/detail/survey.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "navdata/interlocked.hpp"
#include "radio/crossing_angle.hpp"
#include "radio/error_budget.hpp"
#include "radio/reception.hpp"

namespace omniway::fixing::detail {

using base::Angle;
using base::Length;
using navdata::StationId;
using radio::AidKind;

namespace {

constexpr Angle right_angle = Angle::degrees(90.0);
constexpr Angle largest_dme_angle = Angle::degrees(23.0);

// Lines that cross flatter than this run along the track: they guide rather than cross, and are not named as refused.
constexpr Angle runs_along = Angle::degrees(10.0);

// A beacon or VOR "at" a fix: published positions of a fix over an aid agree to the arc-second; 0.1 NM covers sites
// surveyed apart from the named point.
constexpr Length overhead_radius = Length::nautical_miles(0.1);
constexpr Length search_radius = Length::nautical_miles(80.0);

// TERPS holds the error of station passage for not significant (8260.3B para 285, from memory): the needle's fall alone.
constexpr Length passage_error = Length::nautical_miles(0.2);

// Nearer, what is read is the height rather than the distance.
constexpr Length nearest_dme = Length::nautical_miles(0.5);

// No height above an aid is known better than this.
constexpr Length least_height = Length::feet(100.0);

// Angle between two lines, 0 to 90 degrees.
AidKind kind_of(const navdata::Station& station) {
    if (navdata::ndb(station) != nullptr) {
        return AidKind::ndb;
    }
    return navdata::localizer(station) != nullptr ? AidKind::localizer : AidKind::vor;
}

bool has_line(const navdata::Station& station) {
    return navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr ||
           navdata::localizer(station) != nullptr;
}

// The inverse of radio::slant_range: the ground distance at which a DME shows a slant range; zero where it is the height.
Length over_ground(Length slant, const radio::DmeHeights& heights) {
    constexpr double mean_radius_m = 6371008.8;
    const double a = mean_radius_m + heights.antenna.metres();
    const double b = mean_radius_m + heights.aircraft.metres();
    const double square = (slant.metres() * slant.metres() - (a - b) * (a - b)) / (4.0 * a * b);
    return Length::metres(square > 0.0 ? 2.0 * mean_radius_m * std::asin(std::sqrt(square)) : 0.0);
}

// Overhead first, then the guiding station's own DME, then by error.
std::pair<int, Length> rank(const Candidate& candidate) {
    const Way& way = candidate.telling.way;
    if (std::holds_alternative<Overhead>(way)) {
        return {0, Length()};
    }
    const auto* reading = std::get_if<DmeReading>(&way);
    return {reading != nullptr && reading->at_guiding_station ? 1 : 2, candidate.telling.along_error};
}

}  // namespace

Survey::Survey(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment* aboard,
               const FixQuestion& question)
    : world_(world),
      ground_(ground),
      aboard_(aboard),
      question_(question),
      guide_(guided_by(world, question)) {}

Survey::Findings Survey::findings() {
    // The guiding aid and those the procedure names first: they decide most fixes, and nothing beats them.
    std::vector<StationId> first = question_.published_aids;
    if (question_.guided_by) {
        first.insert(first.begin(), *question_.guided_by);
    }
    consider_each(first);
    if (aboard_ == nullptr || question_.every_way || !has_best()) {
        consider_each(world_.stations_within(question_.fix, search_radius));
    }
    std::stable_sort(found_.ways.begin(), found_.ways.end(),
                     [](const Candidate& a, const Candidate& b) { return rank(a) < rank(b); });
    return std::move(found_);
}

void Survey::consider_each(const std::vector<StationId>& stations) {
    for (const StationId id : stations) {
        if (std::find(considered_.begin(), considered_.end(), id) == considered_.end()) {
            considered_.push_back(id);
            consider(id);
        }
    }
}

bool Survey::has_best() const {
    return std::any_of(found_.ways.begin(), found_.ways.end(),
                       [](const Candidate& candidate) { return rank(candidate).first < 2; });
}

bool Survey::published(StationId id) const {
    return std::find(question_.published_aids.begin(), question_.published_aids.end(), id) !=
           question_.published_aids.end();
}

void Survey::take(StationId id, Candidate candidate) {
    const Length error = candidate.telling.along_error;
    if (question_.allowed_error && error > *question_.allowed_error) {
        refuse({.obstacle = Obstacle::error_too_large,
                .station = id,
                .error = error,
                .error_limit = question_.allowed_error});
        return;
    }
    if (!guides(id) && !published(id) && !navdata::interlocked_with(world_, id).empty()) {
        refuse({.obstacle = Obstacle::other_end_in_use, .station = id});
        return;
    }
    found_.ways.push_back(std::move(candidate));
}

bool Survey::lacks(StationId id, const Needs& needs) {
    const auto lacking = aboard_ == nullptr ? std::nullopt : lack(*aboard_, guide_, needs);
    if (lacking) {
        refuse({.obstacle = *lacking, .station = id});
    }
    return lacking.has_value();
}

bool Survey::is_heard(StationId id, radio::Part part) {
    const radio::Reception reception =
        radio::hear(world_[id], part, question_.fix, question_.altitude, ground_);
    if (reception.heard() || published(id)) {
        return true;
    }
    refuse({.obstacle = part == radio::Part::distance ? Obstacle::dme_not_heard : Obstacle::not_heard,
            .station = id,
            .reception = reception});
    return false;
}

base::Altitude Survey::antenna_altitude(const navdata::Station& station, radio::Part part) const {
    return radio::antenna_of(station, part, ground_.terrain).altitude;
}

radio::DmeHeights Survey::dme_heights(const navdata::Station& station) const {
    return {.aircraft = question_.altitude, .antenna = antenna_altitude(station, radio::Part::distance)};
}

void Survey::consider(StationId id) {
    const navdata::Station& station = world_[id];
    const earth::Position where = navdata::site(station);
    const earth::Geodesic line = earth::geodesic(where, question_.fix);
    const bool at_fix = line.distance <= overhead_radius;
    if (at_fix) {
        consider_overhead(id, station, line.distance);
    }
    if (station.dme) {
        const bool one_site = station.dme->position == where;
        consider_distance(id, station,
                          one_site ? line : earth::geodesic(station.dme->position, question_.fix));
    }
    if (!at_fix && !guides(id) && has_line(station)) {
        consider_crossing(id, station, line);
    }
}

void Survey::consider_overhead(StationId id, const navdata::Station& station, Length away) {
    const bool beacon = navdata::ndb(station) != nullptr;
    if (!beacon && navdata::vor(station) == nullptr) {
        return;
    }
    Needs needs;
    (beacon ? needs.adf : needs.receiver) = !guides(id);
    if (lacks(id, needs)) {
        return;
    }
    const Length height =
        std::max(question_.altitude - antenna_altitude(station, radio::Part::azimuth), least_height);
    const OverheadZone zone = beacon ? ndb_zone(height) : vor_zone(height);
    Length error = std::max(away, passage_error);
    if (question_.criteria == radio::Criteria::pans_ops) {
        error = std::max(error, zone.radius);
    }
    take(id, {{Overhead{id}, error, right_angle}, needs, zone});
}

DistanceLine Survey::ring(const navdata::Station& station, const earth::Geodesic& line) const {
    const radio::DmeHeights heights = dme_heights(station);
    const Length slant = radio::slant_range(line.distance, heights);
    const Length tolerance = radio::dme_tolerance(slant, question_.criteria);
    return {.antenna_from_fix = line.arrival.reciprocal(),
            .away = line.distance,
            .nearest = over_ground(std::max(slant - tolerance, Length()), heights),
            .farthest = over_ground(slant + tolerance, heights)};
}

void Survey::consider_distance(StationId id, const navdata::Station& station, const earth::Geodesic& line) {
    if (line.distance < nearest_dme || (question_.arc_about_guide && guides(id))) {
        return;  // on an arc the distance guides; it cannot also end it
    }
    Angle off_track;
    if (!guides(id)) {
        off_track = radio::crossing_angle(line.arrival, question_.track);
        if (off_track > largest_dme_angle) {
            if (aboard_ == nullptr) {  // in a plan, naming each DME abeam would drown the reasons that matter
                refuse({.obstacle = Obstacle::off_the_track,
                        .station = id,
                        .angle = off_track,
                        .angle_limit = largest_dme_angle});
            }
            return;
        }
    }
    const Needs needs{.dme = true, .free_dme = !guides(id)};
    if (lacks(id, needs) || !is_heard(id, radio::Part::distance)) {
        return;
    }
    const DistanceLine band = ring(station, line);
    const Length shown = radio::slant_range(line.distance, dme_heights(station)) - station.dme->bias;
    const Length error = std::max(band.away - band.nearest, band.farthest - band.away) / base::cos(off_track);
    Candidate candidate{{DmeReading{id, shown, guides(id)}, error, right_angle}, needs, band};
    if (!guides(id) && question_.guided_by) {
        if (const auto area = area_of(candidate); std::holds_alternative<NoArea>(area)) {
            refuse({.obstacle = Obstacle::ring_closes, .station = id});
            return;
        }
    }
    take(id, std::move(candidate));
}

Angle Survey::smallest_crossing(bool beacon, Length away) const {
    const bool a_beacon_is_a_line = beacon || guide_ == GuidedBy::adf;
    if (question_.use == FixUse::en_route) {
        return Angle::degrees(a_beacon_is_a_line ? 45.0 : 30.0);
    }
    const double beyond_nm = away.nautical_miles() - (beacon ? 30.0 : 45.0);
    return Angle::degrees(45.0 + std::max(0.0, beyond_nm) * (beacon ? 1.0 : 0.5));
}

void Survey::consider_crossing(StationId id, const navdata::Station& station, const earth::Geodesic& line) {
    const AidKind kind = kind_of(station);
    const Angle crossing = radio::crossing_angle(line.arrival, question_.track);
    const Angle smallest = smallest_crossing(kind == AidKind::ndb, line.distance);
    if (crossing < smallest) {
        if (crossing > runs_along || aboard_ == nullptr) {
            refuse({.obstacle = Obstacle::crosses_too_shallow,
                    .station = id,
                    .angle = crossing,
                    .angle_limit = smallest});
        }
        return;
    }
    if (!is_heard(id, radio::Part::azimuth)) {
        return;
    }
    const Angle tolerance = radio::bearing_tolerance(kind, radio::Line::crossing, question_.criteria);
    const Length error =
        radio::crossing_error({.range = line.distance, .crossing = crossing, .tolerance = tolerance}).far;
    const BearingLine wedge{line.arrival.reciprocal(), line.distance, tolerance};
    Needs needs;
    Way way = CrossingLocalizer{id};
    if (const auto* localizer = navdata::localizer(station)) {
        // Only its course line can be shown: the fix must lie on it.
        const base::TrueBearing front = base::to_true(localizer->course, localizer->declination).reciprocal();
        const Angle off_course = abs(line.initial - front);
        constexpr Angle on_course = Angle::degrees(0.6);
        if (off_course > on_course) {
            if (aboard_ == nullptr) {
                refuse({.obstacle = Obstacle::off_its_course,
                        .station = id,
                        .angle = off_course,
                        .angle_limit = on_course});
            }
            return;
        }
        needs = {.receiver = true, .localizer = true};
    } else if (kind == AidKind::ndb) {
        way = CrossingBearing{id, line.arrival.reciprocal()};
        needs.adf = true;
    } else {
        way = CrossingRadial{id, base::to_radial(line.initial, navdata::vor(station)->declination)};
        needs.receiver = true;
    }
    if (guide_ == GuidedBy::adf && kind == AidKind::ndb) {
        refuse({.obstacle = aboard_ == nullptr || aboard_->adf ? Obstacle::no_second_adf : Obstacle::no_adf,
                .station = id});
        return;
    }
    if (!lacks(id, needs)) {
        take(id, {{way, error, crossing}, needs, wedge});
    }
}

std::optional<PositionLine> Survey::guiding_line() const {
    if (!question_.guided_by) {
        return std::nullopt;
    }
    const navdata::Station& guide = world_[*question_.guided_by];
    if (question_.arc_about_guide) {
        return guide.dme ? std::optional<PositionLine>(
                               ring(guide, earth::geodesic(guide.dme->position, question_.fix)))
                         : std::nullopt;
    }
    if (!has_line(guide)) {
        return std::nullopt;
    }
    const earth::Geodesic line = earth::geodesic(navdata::site(guide), question_.fix);
    return BearingLine{line.arrival.reciprocal(), line.distance,
                       radio::bearing_tolerance(kind_of(guide), radio::Line::tracking, question_.criteria)};
}

std::variant<ToleranceArea, NoArea> Survey::area_of(const Candidate& way) const {
    // Overhead the zone is all there is: the needle says nothing in it.
    if (std::holds_alternative<Overhead>(way.telling.way)) {
        return tolerance_area(question_.fix, question_.track, std::array{way.line});
    }
    const auto guiding = guiding_line();
    if (!guiding) {
        return NoArea::open;
    }
    return tolerance_area(question_.fix, question_.track, std::array{*guiding, way.line});
}

}  // namespace omniway::fixing::detail
