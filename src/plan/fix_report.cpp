#include "plan/fix_report.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "plan/wording.hpp"
#include "procedure/guidance.hpp"
#include "radio/along_path.hpp"
#include "radio/reception.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using navdata::StationId;

namespace {

constexpr Altitude usual_altitude = Altitude::feet(5000.0);
constexpr Length search_radius = Length::nautical_miles(80.0);
constexpr Length at_the_fix = Length::nautical_miles(0.1);
constexpr base::Angle aligned = base::Angle::degrees(3.0);

struct Arrival {
    navdata::Point from;
    std::size_t segment;
    bool forward;
};

class Reporter {
public:
    Reporter(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
             FixRequest request)
        : world_(world), ground_(ground), model_(model), report_{std::move(request), std::nullopt, {}} {
        fix_ = world.position(report_.request.point);
    }

    FixReport result() {
        if (report_.request.track) {
            along_track(base::to_true(*report_.request.track, variation()));
        } else {
            for (const navdata::Airway& airway : world_.airways()) {
                if (!airway.area_navigation) {
                    along(airway);
                }
            }
            if (report_.lines.empty()) {
                along_every_line();
            }
        }
        for (ReachedOn& line : report_.lines) {
            tell(line);
        }
        report_.two_lines = two_good_lines();
        return std::move(report_);
    }

private:
    base::Variation variation() const { return model_.variation(fix_, report_.request.today); }

    void along(const navdata::Airway& airway) {
        using navdata::AirwayDirection;
        for (std::size_t i = 0; i < airway.segments.size(); ++i) {
            const navdata::AirwaySegment& segment = airway.segments[i];
            if (segment.to == report_.request.point && segment.direction != AirwayDirection::backward_only) {
                arrive(airway, {segment.from, i, true});
            }
            if (segment.from == report_.request.point && segment.direction != AirwayDirection::forward_only) {
                arrive(airway, {segment.to, i, false});
            }
        }
    }

    void arrive(const navdata::Airway& airway, const Arrival& arrival) {
        const navdata::AirwaySegment& segment = airway.segments[arrival.segment];
        const earth::Position from = world_.position(arrival.from);
        const navdata::PublishedMinimum& published =
            arrival.forward ? segment.minimum_forward : segment.minimum_backward;
        const auto* minimum = std::get_if<Altitude>(&published);
        ReachedOn line;
        line.airways = {airway.designator};
        line.from = world_.ident(arrival.from);
        line.track = earth::geodesic(from, fix_).arrival;
        line.altitude = minimum != nullptr ? *minimum : usual_altitude;
        line.question.guided_by = guide_of(airway, from);
        add(std::move(line));
    }

    // The nearest aid of the airway, behind or ahead, whose line the segment lies on.
    std::optional<StationId> guide_of(const navdata::Airway& airway, earth::Position from) const {
        std::optional<StationId> nearest;
        Length at = search_radius * 2.0;
        const auto look = [&](const navdata::Point& point) {
            const auto* station = std::get_if<StationId>(&point);
            const Length away =
                station != nullptr ? earth::distance(navdata::site(world_[*station]), fix_) : at;
            if (away < at && procedure::guidance_along(world_, *station, from, fix_)) {
                nearest = *station;
                at = away;
            }
        };
        for (const navdata::AirwaySegment& segment : airway.segments) {
            look(segment.from);
            look(segment.to);
        }
        return nearest;
    }

    void along_track(base::TrueBearing track) {
        ReachedOn line;
        line.track = track;
        line.altitude = usual_altitude;
        for (const StationId id : heard()) {
            const earth::Geodesic from_aid = earth::geodesic(navdata::site(world_[id]), fix_);
            const base::Angle turn = from_aid.arrival - track;
            const base::Angle off = std::min(abs(turn), base::Angle::degrees(180.0) - abs(turn));
            if (from_aid.distance <= at_the_fix || off <= aligned) {
                ReachedOn guided = line;
                guided.question.guided_by = id;
                add(std::move(guided));
            }
        }
        if (report_.lines.empty()) {
            add(std::move(line));
        }
    }

    void along_every_line() {
        for (const StationId id : heard()) {
            const earth::Geodesic from_aid = earth::geodesic(navdata::site(world_[id]), fix_);
            ReachedOn line;
            line.track = from_aid.distance > at_the_fix ? from_aid.arrival.reciprocal() : base::TrueBearing();
            line.altitude = usual_altitude;
            line.question.guided_by = id;
            add(std::move(line));
        }
    }

    // Aids whose azimuth is heard at the fix, and any that stands at it, nearest first.
    std::vector<StationId> heard() const {
        const Altitude altitude = report_.request.altitude.value_or(usual_altitude);
        std::vector<StationId> aids;
        for (const StationId id : world_.stations_within(fix_, search_radius)) {
            const navdata::Station& station = world_[id];
            const bool leads = navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr;
            if (leads && (earth::distance(navdata::site(station), fix_) <= at_the_fix ||
                          radio::hear(station, radio::Part::azimuth, fix_, altitude, ground_).heard())) {
                aids.push_back(id);
            } else if (navdata::localizer(station) != nullptr && on_course(*navdata::localizer(station)) &&
                       radio::hear(station, radio::Part::azimuth, fix_, altitude, ground_).heard()) {
                aids.push_back(id);
            }
        }
        return aids;
    }

    bool on_course(const navdata::LocalizerAzimuth& localizer) const {
        const base::TrueBearing front = base::to_true(localizer.course, localizer.declination).reciprocal();
        return abs(earth::bearing(localizer.position, fix_) - front) <= base::Angle::degrees(0.6);
    }

    // Airways that share a segment share its line.
    void add(ReachedOn line) {
        for (ReachedOn& known : report_.lines) {
            if (known.question.guided_by == line.question.guided_by && known.from == line.from &&
                abs(known.track - line.track) < base::Angle::degrees(0.01)) {
                known.airways.insert(known.airways.end(), line.airways.begin(), line.airways.end());
                known.altitude = std::max(known.altitude, line.altitude);
                return;
            }
        }
        report_.lines.push_back(std::move(line));
    }

    std::optional<TwoGoodLines> two_good_lines() const {
        // No VOR's volume reaches farther.
        const auto ids = world_.stations_within(fix_, base::Length::nautical_miles(130.0));
        std::vector<const navdata::Station*> stations;
        for (const navdata::StationId id : ids) {
            stations.push_back(&world_[id]);
        }
        const auto found = radio::lowest_two_lines(stations, fix_, ground_);
        if (!found) {
            return std::nullopt;
        }
        return TwoGoodLines{found->lowest.altitude, found->lowest.ground_known, ids[found->one],
                            ids[found->other], found->crossing};
    }

    void tell(ReachedOn& line) const {
        const FixRequest& request = report_.request;
        line.altitude = request.altitude.value_or(line.altitude);
        line.course = base::to_magnetic(line.track, variation());
        line.question.fix = fix_;
        line.question.altitude = line.altitude;
        line.question.track = line.track;
        line.question.use = request.use;
        line.question.criteria = request.criteria;
        line.catalogue = fixing::catalogue(world_, ground_, line.question);
        if (!request.aircraft) {
            return;
        }
        const fixing::GuidedBy guide = fixing::guided_by(world_, line.question);
        for (std::size_t i = 0; i < line.catalogue.ways.size(); ++i) {
            line.lacks.push_back(
                fixing::lack(request.aircraft->equipment, guide, line.catalogue.ways[i].needs));
            if (!line.lacks.back() && !line.used) {
                line.used = i;
            }
        }
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    FixReport report_;
    earth::Position fix_;
};

}  // namespace

FixReport fix_report(const navdata::Snapshot& world, const radio::Ground& ground,
                     const earth::MagneticModel& model, FixRequest request) {
    return Reporter(world, ground, model, std::move(request)).result();
}

std::string line_text(const navdata::Snapshot& world, const ReachedOn& line) {
    std::string text;
    for (const std::string& airway : line.airways) {
        text += (text.empty() ? "on " : ", ") + airway;
    }
    if (!line.from.empty()) {
        text += " from " + line.from;
    }
    text += fmt::format("{}course {}", text.empty() ? "" : ", ", three_figures(line.course.degrees()));
    if (!line.question.guided_by) {
        return text + " by heading: no aid's line lies along it";
    }
    const navdata::Station& guide = world[*line.question.guided_by];
    return text + fmt::format(" by {} {} ({:.1f} NM)", navdata::kind_text(guide), guide.ident,
                              earth::distance(navdata::site(guide), line.question.fix).nautical_miles());
}

std::string needs_text(const fixing::Needs& needs) {
    if (needs.localizer) {
        return "another receiver that takes localizers";
    }
    if (needs.receiver) {
        return "another receiver";
    }
    if (needs.dme) {
        return needs.free_dme ? "a DME that does not follow the guiding receiver" : "a DME";
    }
    return needs.adf ? "an ADF" : "";
}

}  // namespace omniway::plan
