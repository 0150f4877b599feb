#include "fixing/telling.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "radio/reception.hpp"

namespace omniway::fixing {

using base::Angle;
using base::Length;
using navdata::StationId;

namespace {

// TERPS 8260.3B para 286 as printed in trade-facts 3.2 (VOR crossing [seen]; the others [memory]).
constexpr Angle vor_crossing_error = Angle::degrees(3.6);
constexpr Angle ndb_crossing_error = Angle::degrees(5.0);
constexpr Angle localizer_crossing_error = Angle::degrees(0.5);
constexpr Angle largest_dme_angle = Angle::degrees(23.0);

// A beacon or VOR "at" a fix: published positions of a fix over an aid agree to the arc-second; 0.1 NM covers sites
// surveyed apart from the named point.
constexpr Length overhead_radius = Length::nautical_miles(0.1);
constexpr Length search_radius = Length::nautical_miles(80.0);

double smallest_crossing_deg(FixUse use, bool beacon) {
    return use == FixUse::en_route && !beacon ? 30.0 : 45.0;
}

// Angle between two lines, 0 to 90 degrees.
Angle between_lines(base::TrueBearing a, base::TrueBearing b) {
    const double turn = std::abs((a - b).degrees());
    return Angle::degrees(std::min(turn, 180.0 - turn));
}

class Survey {
public:
    Survey(const navdata::Snapshot& world, const cockpit::Equipment& aboard, const FixQuestion& question)
        : world_(world), aboard_(aboard), question_(question) {}

    Tellings result() {
        // The guiding aid and those the procedure names first: they decide most fixes, and nothing beats them.
        std::vector<StationId> first = question_.published_aids;
        if (question_.guided_by) {
            first.insert(first.begin(), *question_.guided_by);
        }
        consider_each(first);
        if (question_.every_way || !has_best()) {
            const auto near = world_.stations_within(question_.fix, search_radius);
            consider_each(near);
        }
        std::stable_sort(found_.ways.begin(), found_.ways.end(),
                         [](const Telling& a, const Telling& b) { return rank(a) < rank(b); });
        return std::move(found_);
    }

private:
    void consider_each(const std::vector<StationId>& stations) {
        for (const StationId id : stations) {
            if (std::find(considered_.begin(), considered_.end(), id) == considered_.end()) {
                considered_.push_back(id);
                consider(id);
            }
        }
    }

    bool has_best() const {
        return std::any_of(found_.ways.begin(), found_.ways.end(),
                           [](const Telling& telling) { return rank(telling).first < 2; });
    }

    // Overhead first, then the guiding station's own DME, then by error.
    static std::pair<int, Length> rank(const Telling& telling) {
        if (std::holds_alternative<Overhead>(telling.way)) {
            return {0, Length()};
        }
        const auto* reading = std::get_if<DmeReading>(&telling.way);
        return {reading != nullptr && reading->at_guiding_station ? 1 : 2, telling.along_error};
    }

    bool guides(StationId id) const { return question_.guided_by && *question_.guided_by == id; }
    bool published(StationId id) const {
        return std::find(question_.published_aids.begin(), question_.published_aids.end(), id) !=
               question_.published_aids.end();
    }
    bool guide_is_beacon() const {
        return question_.guided_by && navdata::ndb(world_[*question_.guided_by]) != nullptr;
    }
    // Receivers free for a cross-check while one guides; on an arc the guide's radial receiver is busy as well.
    std::size_t free_receivers() const {
        const std::size_t all = aboard_.receivers.size();
        const bool one_busy = question_.guided_by && !guide_is_beacon();
        return one_busy ? all - std::min<std::size_t>(all, 1) : all;
    }
    bool a_free_receiver_takes_localizers() const {
        const auto with = static_cast<std::size_t>(std::count_if(
            aboard_.receivers.begin(), aboard_.receivers.end(), [](const auto& r) { return r.localizer; }));
        return free_receivers() > 0 && with > (aboard_.receivers.size() - free_receivers());
    }

    void refuse(StationId id, const std::string& why) {
        found_.refused.push_back(
            fmt::format("{} {} {}", navdata::kind_text(world_[id]), world_[id].ident, why));
    }

    void take(StationId id, Way way, Length error, Angle crossing) {
        if (question_.allowed_error && error > *question_.allowed_error) {
            refuse(id, fmt::format("tells it only within {:.1f} NM, {:.1f} NM allowed",
                                   error.nautical_miles(), question_.allowed_error->nautical_miles()));
            return;
        }
        found_.ways.push_back({way, error, crossing});
    }

    void consider(StationId id) {
        const navdata::Station& station = world_[id];
        const earth::Position where = navdata::site(station);
        const earth::Geodesic line = earth::geodesic(where, question_.fix);
        const bool at_fix = line.distance <= overhead_radius;
        consider_overhead(id, station, at_fix, line.distance);
        if (station.dme) {
            const bool one_site = station.dme->position == where;
            consider_distance(id, station,
                              one_site ? line : earth::geodesic(station.dme->position, question_.fix));
        }
        if (!at_fix && !guides(id)) {
            consider_crossing(id, station, line);
        }
    }

    void consider_overhead(StationId id, const navdata::Station& station, bool at_fix, Length away) {
        if (!at_fix) {
            return;
        }
        if (navdata::vor(station) != nullptr) {
            if (guides(id) || free_receivers() > 0) {
                take(id, Overhead{id}, std::max(away, Length::nautical_miles(0.2)), Angle::degrees(90));
            }
        } else if (navdata::ndb(station) != nullptr) {
            if (aboard_.adf && (guides(id) || !guide_is_beacon())) {
                take(id, Overhead{id}, std::max(away, Length::nautical_miles(0.2)), Angle::degrees(90));
            } else if (!aboard_.adf) {
                refuse(id, "tells it only with an ADF aboard");
            }
        }
    }

    void consider_distance(StationId id, const navdata::Station& station, const earth::Geodesic& line) {
        if (line.distance < Length::nautical_miles(0.5)) {
            return;  // overhead: slant range no longer tells
        }
        if (question_.arc_about_guide && guides(id)) {
            return;  // the distance guides; it cannot also end the arc
        }
        Angle off_track;
        if (!guides(id)) {
            off_track = between_lines(line.initial, question_.track);
            if (off_track > largest_dme_angle) {
                return;  // most DMEs around are abeam: naming each would drown the reasons that matter
            }
        }
        if (!aboard_.dme) {
            refuse(id, "tells it only with a DME aboard");
            return;
        }
        const bool follows = *aboard_.dme == cockpit::DmeControl::follows_receiver;
        if (!guides(id) && follows && free_receivers() == 0) {
            refuse(id, "has a DME that only the guiding receiver could tune");
            return;
        }
        const radio::Reception reception = radio::hear_distance(station, question_.fix, question_.altitude);
        if (!reception.heard() && !published(id)) {
            refuse(id, "DME is " + radio::to_text(reception));
            return;
        }
        const Length slant = radio::slant_range(
            line.distance,
            {.aircraft = question_.altitude, .antenna = station.dme->elevation.value_or(base::Altitude())});
        const Length shown = slant - station.dme->bias;
        take(id, DmeReading{id, shown, guides(id)}, dme_error(slant) / base::cos(off_track),
             Angle::degrees(90));
    }

    void consider_crossing(StationId id, const navdata::Station& station, const earth::Geodesic& line) {
        const bool beacon = navdata::ndb(station) != nullptr;
        const bool is_localizer = navdata::localizer(station) != nullptr;
        if (navdata::vor(station) == nullptr && !beacon && !is_localizer) {
            return;
        }
        const Length away = line.distance;
        const Angle crossing = between_lines(line.arrival, question_.track);
        const double smallest = smallest_crossing_deg(question_.use, beacon || guide_is_beacon());
        if (crossing.degrees() < smallest) {
            if (crossing.degrees() > 10.0) {
                refuse(id,
                       fmt::format("crosses at {:.0f} degrees, {:.0f} needed", crossing.degrees(), smallest));
            }
            return;
        }
        const radio::Reception reception = radio::hear_azimuth(station, question_.fix, question_.altitude);
        if (!reception.heard() && !published(id)) {
            refuse(id, "is " + radio::to_text(reception));
            return;
        }
        if (is_localizer) {
            // Only its course line can be shown: the fix must lie on it.
            const auto* azimuth = navdata::localizer(station);
            const base::TrueBearing front = base::to_true(azimuth->course, azimuth->declination).reciprocal();
            if (std::abs((line.initial - front).degrees()) > 0.6) {
                return;
            }
            if (!a_free_receiver_takes_localizers()) {
                refuse(id, "needs a second receiver for its localizer");
                return;
            }
            take(id, CrossingLocalizer{id}, crossing_error(away, crossing, localizer_crossing_error),
                 crossing);
        } else if (beacon) {
            if (!aboard_.adf || guide_is_beacon()) {
                refuse(id, aboard_.adf ? "needs a second ADF" : "tells it only with an ADF aboard");
                return;
            }
            take(id, CrossingBearing{id, line.arrival.reciprocal()},
                 crossing_error(away, crossing, ndb_crossing_error), crossing);
        } else {
            if (free_receivers() == 0) {
                refuse(id, "needs a second receiver");
                return;
            }
            const base::Radial radial = base::to_radial(line.initial, navdata::vor(station)->declination);
            take(id, CrossingRadial{id, radial}, crossing_error(away, crossing, vor_crossing_error),
                 crossing);
        }
    }

    const navdata::Snapshot& world_;
    const cockpit::Equipment& aboard_;
    const FixQuestion& question_;
    std::vector<StationId> considered_;
    Tellings found_;
};

}  // namespace

Tellings tellings(const navdata::Snapshot& world, const cockpit::Equipment& aboard,
                  const FixQuestion& question) {
    return Survey(world, aboard, question).result();
}

base::Length crossing_error(base::Length range, base::Angle crossing, base::Angle error) {
    const double narrow = crossing.radians() - error.radians();
    if (narrow <= 0.0) {
        return Length::metres(std::numeric_limits<double>::infinity());
    }
    return Length::metres(range.metres() * base::sin(error) / std::sin(narrow));
}

base::Length dme_error(base::Length slant_range) {
    return Length::nautical_miles(0.25) + slant_range * 0.0125;
}

}  // namespace omniway::fixing
