#include "plan/chart.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

namespace omniway::plan {

namespace {

constexpr double coast_steps = 2000.0;  // to the height of an area
constexpr double wider_by = 0.1;
constexpr double least_deg = 1.0;  // of the frame of a world of one place
constexpr double widest_height_deg = 30.0;
constexpr double widest_deg = 60.0;

double eastward(double from_deg, double to_deg) {
    const double east = std::fmod(to_deg - from_deg, 360.0);
    return east < 0.0 ? east + 360.0 : east;
}
double width_of(const ChartArea& area) {
    return area.east_deg > area.west_deg ? area.east_deg - area.west_deg
                                         : area.east_deg - area.west_deg + 360.0;
}
double wrapped(double longitude_deg) {
    return std::remainder(longitude_deg, 360.0);
}

/// A box about places that may lie across the antimeridian: degrees east count from its first place.
class Box {
public:
    void add(earth::Position place) {
        if (!begun_) {
            first_deg_ = place.longitude_deg();
            south_ = north_ = place.latitude_deg();
            begun_ = true;
        }
        const double east = wrapped(place.longitude_deg() - first_deg_);
        west_ = std::min(west_, east);
        east_ = std::max(east_, east);
        south_ = std::min(south_, place.latitude_deg());
        north_ = std::max(north_, place.latitude_deg());
    }
    bool touches(const ChartArea& area) const {
        if (!begun_ || south_ > area.north_deg || north_ < area.south_deg) {
            return false;
        }
        const double begins = eastward(area.west_deg, first_deg_ + west_);
        return begins <= width_of(area) || begins + (east_ - west_) >= 360.0;
    }

private:
    bool begun_ = false;
    double first_deg_ = 0.0;
    double west_ = 0.0;
    double east_ = 0.0;
    double south_ = 0.0;
    double north_ = 0.0;
};

// The vertices of a ring that can be told apart at the scale of the area; far from it, in coarser steps.
earth::CoastlineRing at_scale(const earth::CoastlineRing& ring, const ChartArea& area) {
    const double height = area.north_deg - area.south_deg;
    const double margin = height * wider_by;
    ChartArea near{wrapped(area.west_deg - margin), area.south_deg - margin, wrapped(area.east_deg + margin),
                   area.north_deg + margin};
    const bool all_round = width_of(area) + 2.0 * margin >= 360.0;
    earth::CoastlineRing thin;
    for (const earth::Position& vertex : ring.vertices) {
        if (!thin.vertices.empty()) {
            const earth::Position& last = thin.vertices.back();
            const bool far = !all_round && !near.holds(vertex) && !near.holds(last);
            const double step = far ? margin : height / coast_steps;
            const double across = wrapped(vertex.longitude_deg() - last.longitude_deg()) *
                                  std::cos(vertex.latitude_deg() * 3.14159265358979 / 180.0);
            if (std::hypot(across, vertex.latitude_deg() - last.latitude_deg()) < step) {
                continue;
            }
        }
        thin.vertices.push_back(vertex);
    }
    return thin;
}

std::vector<earth::CoastlineRing> coast_of(std::span<const earth::CoastlineRing> rings,
                                           const ChartArea& area) {
    std::vector<earth::CoastlineRing> coast;
    for (const earth::CoastlineRing& ring : rings) {
        Box box;
        for (const earth::Position& vertex : ring.vertices) {
            box.add(vertex);
        }
        if (box.touches(area)) {
            earth::CoastlineRing thin = at_scale(ring, area);
            if (thin.vertices.size() >= 3) {
                coast.push_back(std::move(thin));
            }
        }
    }
    return coast;
}

void turn_round(std::optional<base::Radial>& course) {
    if (course) {
        course = course->reciprocal();
    }
}

ChartAirway as_flown(const navdata::Airway& airway, const navdata::AirwaySegment& segment) {
    ChartAirway shown{airway.designator, airway.area_navigation, segment};
    if (segment.direction == navdata::AirwayDirection::backward_only) {
        navdata::AirwaySegment& turned = shown.segment;
        std::swap(turned.from, turned.to);
        std::swap(turned.outbound_course, turned.inbound_course);
        turn_round(turned.outbound_course);
        turn_round(turned.inbound_course);
        std::swap(turned.minimum_forward, turned.minimum_backward);
        turned.direction = navdata::AirwayDirection::forward_only;
    }
    return shown;
}

template <class Things, class Id>
void add_within(const Things& things, const ChartArea& area, std::vector<Id>& ids) {
    for (std::uint32_t i = 0; i < things.size(); ++i) {
        if (area.holds(things[i].position)) {
            ids.push_back(Id{i});
        }
    }
}

void add_airways(const navdata::Snapshot& world, ChartFeatures& features,
                 std::set<std::uint32_t>& on_airways) {
    for (const navdata::Airway& airway : world.airways()) {
        for (const navdata::AirwaySegment& segment : airway.segments) {
            Box box;
            box.add(world.position(segment.from));
            box.add(world.position(segment.to));
            if (!box.touches(features.area)) {
                continue;
            }
            features.airways.push_back(as_flown(airway, segment));
            for (const navdata::Point& end : {segment.from, segment.to}) {
                if (const auto* fix = std::get_if<navdata::FixId>(&end)) {
                    on_airways.insert(fix->index);
                }
            }
        }
    }
}

/// The least box that holds places, and the place in their middle; longitudes go on eastward from its western edge.
struct Extent {
    double south_deg = 0.0;
    double north_deg = 0.0;
    double west_deg = 0.0;
    double width_deg = 0.0;
    double middle_latitude_deg = 0.0;
    double middle_east_deg = 0.0;  // of the western edge
    bool is_too_wide() const { return north_deg - south_deg > widest_height_deg || width_deg > widest_deg; }
};

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

Extent extent_of(const std::vector<earth::Position>& places) {
    Extent extent;
    if (places.empty()) {
        return extent;
    }
    std::vector<double> north;
    std::vector<double> east;
    for (const earth::Position& place : places) {
        north.push_back(place.latitude_deg());
        east.push_back(place.longitude_deg());
    }
    std::sort(east.begin(), east.end());
    // Beyond the widest gap between two neighbours on the circle everything begins.
    double widest = 0.0;
    for (std::size_t i = 0; i < east.size(); ++i) {
        const double next = i + 1 < east.size() ? east[i + 1] : east.front() + 360.0;
        if (next - east[i] > widest) {
            widest = next - east[i];
            extent.west_deg = next;
        }
    }
    extent.width_deg = 360.0 - widest;
    for (double& each : east) {
        each = eastward(extent.west_deg, each);
    }
    const auto [south, most_north] = std::minmax_element(north.begin(), north.end());
    extent.south_deg = *south;
    extent.north_deg = *most_north;
    extent.middle_latitude_deg = median_of(north);
    extent.middle_east_deg = median_of(east);
    return extent;
}

Extent about_the_middle(Extent extent) {
    if (extent.north_deg - extent.south_deg > widest_height_deg) {
        extent.south_deg = std::max(extent.south_deg, extent.middle_latitude_deg - widest_height_deg / 2.0);
        extent.north_deg = std::min(extent.north_deg, extent.middle_latitude_deg + widest_height_deg / 2.0);
    }
    if (extent.width_deg > widest_deg) {
        extent.west_deg += extent.middle_east_deg - widest_deg / 2.0;
        extent.width_deg = widest_deg;
    }
    return extent;
}

ChartFrame frame_of(const Extent& extent) {
    const double height = std::max(extent.north_deg - extent.south_deg, least_deg);
    const double width = std::max(extent.width_deg, least_deg);
    const double middle_deg = (extent.south_deg + extent.north_deg) / 2.0;
    const double half_height = height * (0.5 + wider_by);
    const double centre_deg = extent.west_deg + extent.width_deg / 2.0;
    const double half_width = width * (0.5 + wider_by);
    ChartFrame frame;
    frame.area = {wrapped(centre_deg - half_width), std::max(middle_deg - half_height, -90.0),
                  wrapped(centre_deg + half_width), std::min(middle_deg + half_height, 90.0)};
    const double sixth = (frame.area.north_deg - frame.area.south_deg) / 6.0;
    frame.first_parallel_deg = frame.area.south_deg + sixth;
    frame.second_parallel_deg = frame.area.north_deg - sixth;
    if (std::abs(frame.first_parallel_deg + frame.second_parallel_deg) < 1.0) {
        frame.second_parallel_deg += 1.0;
    }
    frame.centre_latitude_deg = (frame.area.south_deg + frame.area.north_deg) / 2.0;
    frame.centre_longitude_deg = wrapped(centre_deg);
    return frame;
}

}  // namespace

bool ChartArea::holds(earth::Position place) const {
    return place.latitude_deg() >= south_deg && place.latitude_deg() <= north_deg &&
           eastward(west_deg, place.longitude_deg()) <= width_of(*this);
}

ChartFeatures chart_features(const navdata::Snapshot& world, std::span<const earth::CoastlineRing> coast,
                             const ChartArea& area) {
    ChartFeatures features;
    features.area = area;
    for (std::uint32_t i = 0; i < world.stations().size(); ++i) {
        if (area.holds(navdata::site(world.stations()[i]))) {
            features.stations.push_back(navdata::StationId{i});
        }
    }
    add_within(world.airports(), area, features.airports);
    for (const navdata::Marker& marker : world.markers()) {
        if (area.holds(marker.position)) {
            features.markers.push_back(&marker);
        }
    }
    std::set<std::uint32_t> on_airways;
    add_airways(world, features, on_airways);
    add_within(world.fixes(), area, features.fixes);
    std::stable_partition(features.fixes.begin(), features.fixes.end(),
                          [&](navdata::FixId fix) { return on_airways.contains(fix.index); });
    if (features.fixes.size() > most_fixes) {
        features.fixes_left_out = features.fixes.size() - most_fixes;
        features.fixes.resize(most_fixes);
    }
    features.coast = coast_of(coast, area);
    return features;
}

ChartFrame chart_frame(const navdata::Snapshot& world) {
    std::vector<earth::Position> places;
    for (const navdata::Station& station : world.stations()) {
        places.push_back(navdata::site(station));
    }
    for (const navdata::Airport& airport : world.airports()) {
        if (!world.runways_of(airport.ident).empty()) {
            places.push_back(airport.position);
        }
    }
    Extent extent = extent_of(places);
    if (extent.is_too_wide()) {
        std::vector<earth::Position> ends;
        for (const navdata::Airway& airway : world.airways()) {
            for (const navdata::AirwaySegment& segment : airway.segments) {
                ends.push_back(world.position(segment.from));
                ends.push_back(world.position(segment.to));
            }
        }
        extent = about_the_middle(extent_of(ends.empty() ? places : ends));
    }
    return frame_of(extent);
}

}  // namespace omniway::plan
