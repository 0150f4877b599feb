#include "tests/sketch.hpp"

#include <cmath>
#include <cstdio>
#include <numbers>
#include <utility>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::testing {

using base::Altitude;
using base::Angle;
using base::Length;
using base::TrueBearing;

namespace {

constexpr const char* region = "XX";

Length to_tenth(Length length) {
    return Length::nautical_miles(std::round(length.nautical_miles() * 10.0) / 10.0);
}

double to_tenth(double degrees) {
    return std::round(degrees * 10.0) / 10.0;
}

double declination_deg(const navdata::Station& station) {
    if (const auto* azimuth = navdata::vor(station)) {
        return azimuth->declination.east().degrees();
    }
    if (const auto* azimuth = navdata::localizer(station)) {
        return azimuth->declination.east().degrees();
    }
    return 0.0;
}

std::string runway_ident(int tens) {
    char text[8] = {};
    std::snprintf(text, sizeof text, "RW%02d", tens);
    return text;
}

}  // namespace

Sketch::Sketch(earth::Position origin) : origin_(origin) {
    navdata::Source source;
    source.file = "sketch";
    source.format = "drawn";
    records_.sources.push_back(source);
}

earth::Position Sketch::at(At place) const {
    const double bearing_deg = std::atan2(place.east_nm, place.north_nm) * 180.0 / std::numbers::pi;
    return earth::destination(origin_, TrueBearing::degrees(bearing_deg),
                              Length::nautical_miles(std::hypot(place.east_nm, place.north_nm)));
}

Sketch& Sketch::vor(const std::string& ident, At place, const VorDrawn& drawn) {
    navdata::Station station;
    station.ident = ident;
    station.region = region;
    station.name = ident;
    station.frequency = base::Frequency::megahertz(113.0);
    navdata::VorAzimuth azimuth;
    azimuth.position = at(place);
    azimuth.declination = base::Declination::east(Angle::degrees(drawn.declination_deg));
    azimuth.service = drawn.service;
    station.azimuth = azimuth;
    if (drawn.dme) {
        navdata::DistancePart part;
        part.position = azimuth.position;
        part.service = *drawn.dme;
        station.dme = part;
    }
    records_.stations.push_back(station);
    return *this;
}

Sketch& Sketch::ndb(const std::string& ident, At place, navdata::ServiceClass service) {
    navdata::Station station;
    station.ident = ident;
    station.region = region;
    station.name = ident;
    station.frequency = base::Frequency::kilohertz(350.0);
    navdata::NdbAzimuth azimuth;
    azimuth.position = at(place);
    azimuth.service = service;
    station.azimuth = azimuth;
    records_.stations.push_back(station);
    return *this;
}

Sketch& Sketch::dme(const std::string& ident, At place, navdata::ServiceClass service) {
    navdata::Station station;
    station.ident = ident;
    station.region = region;
    station.name = ident;
    station.frequency = base::Frequency::megahertz(114.0);
    navdata::DistancePart part;
    part.position = at(place);
    part.service = service;
    station.dme = part;
    records_.stations.push_back(station);
    return *this;
}

Sketch& Sketch::fix(const std::string& ident, At place) {
    navdata::Fix fix;
    fix.ident = ident;
    fix.region = region;
    fix.position = at(place);
    records_.fixes.push_back(fix);
    return *this;
}

Sketch& Sketch::airport(const std::string& ident, At place, double elevation_ft) {
    navdata::Airport airport;
    airport.ident = ident;
    airport.region = region;
    airport.name = ident;
    airport.position = at(place);
    airport.variation = base::Variation();
    airport.elevation = Altitude::feet(elevation_ft);
    records_.airports.push_back(airport);
    return *this;
}

Sketch& Sketch::runway(const std::string& airport, int tens, At middle, double length_ft) {
    const Length half = Length::feet(length_ft / 2.0);
    const TrueBearing direction = TrueBearing::degrees(tens * 10.0);
    const earth::Position centre = at(middle);
    const earth::Position near = earth::destination(centre, direction.reciprocal(), half);
    const earth::Position far = earth::destination(centre, direction, half);
    const int other = tens > 18 ? tens - 18 : tens + 18;
    for (const bool first : {true, false}) {
        navdata::Runway runway;
        runway.airport = airport;
        runway.ident = runway_ident(first ? tens : other);
        runway.length = Length::feet(length_ft);
        runway.threshold = first ? near : far;
        runway.far_end = first ? far : near;
        runway.elevation = Altitude::feet(0.0);
        records_.runways.push_back(runway);
    }
    return *this;
}

Sketch& Sketch::ils(const std::string& airport, const std::string& runway, const std::string& ident,
                    const IlsDrawn& drawn) {
    for (navdata::Runway& end : records_.runways) {
        if (end.airport != airport || end.ident != runway) {
            continue;
        }
        end.localizer = ident;
        const earth::Geodesic line = earth::geodesic(*end.threshold, *end.far_end);
        navdata::Station station;
        station.ident = ident;
        station.region = region;
        station.airport = airport;
        station.frequency = base::Frequency::megahertz(110.3);
        navdata::LocalizerAzimuth azimuth;
        azimuth.position = earth::destination(*end.far_end, line.arrival, Length::feet(1000.0));
        azimuth.course = base::Radial::degrees(line.arrival.degrees() + drawn.offset_deg);
        azimuth.category = drawn.category;
        azimuth.runway = runway;
        if (drawn.glideslope) {
            navdata::Glideslope glideslope;
            glideslope.position = *end.threshold;
            glideslope.angle = Angle::degrees(3.0);
            azimuth.glideslope = glideslope;
        }
        station.azimuth = azimuth;
        if (drawn.dme) {
            navdata::DistancePart part;
            part.position = azimuth.position;
            part.service = navdata::ServiceClass::terminal;
            station.dme = part;
        }
        records_.stations.push_back(station);
        return *this;
    }
    OMNIWAY_EXPECTS(!"the runway is drawn");
    return *this;
}

Sketch& Sketch::airway(const std::string& designator, const std::vector<std::string>& points,
                       const AirwayDrawn& drawn) {
    const auto radial_at = [&](const std::string& ident, TrueBearing course) {
        const navdata::Station* station = find_station(ident);
        return base::Radial::degrees(
            to_tenth(course.degrees() - (station == nullptr ? 0.0 : declination_deg(*station))));
    };
    for (std::size_t i = 0; i < points.size(); ++i) {
        navdata::AirwayRow row;
        row.area = "XXX";
        row.designator = designator;
        row.sequence = static_cast<std::uint32_t>(100 * (i + 1));
        row.point = name(points[i]);
        row.route_type = drawn.route_type;
        row.level = drawn.level;
        row.direction = drawn.direction;
        if (i + 1 < points.size()) {
            const earth::Geodesic line = earth::geodesic(place(points[i]), place(points[i + 1]));
            row.outbound_course = radial_at(points[i], line.initial);
            row.distance_to_next = to_tenth(line.distance);
        }
        if (i > 0) {
            const earth::Geodesic line = earth::geodesic(place(points[i - 1]), place(points[i]));
            row.inbound_course = radial_at(points[i], line.arrival);
        }
        if (drawn.minimum_ft) {
            row.minimum = Altitude::feet(*drawn.minimum_ft);
        }
        if (drawn.minimum_backward_ft) {
            row.minimum_backward = Altitude::feet(*drawn.minimum_backward_ft);
        }
        if (drawn.maximum_ft) {
            row.maximum = Altitude::feet(*drawn.maximum_ft);
        }
        row.ends_continuous_part = i + 1 == points.size();
        records_.airway_rows.push_back(row);
    }
    return *this;
}

Sketch& Sketch::grid(double minimum_ft, int degrees) {
    const int south = static_cast<int>(std::floor(origin_.latitude_deg()));
    const int west = static_cast<int>(std::floor(origin_.longitude_deg()));
    for (int i = -degrees; i <= degrees; ++i) {
        for (int j = -degrees; j <= degrees; ++j) {
            navdata::GridMinimum minimum;
            minimum.south_deg = static_cast<std::int16_t>(south + i);
            minimum.west_deg = static_cast<std::int16_t>((west + j + 540) % 360 - 180);
            minimum.altitude = Altitude::feet(minimum_ft);
            records_.grid_minimums.push_back(minimum);
        }
    }
    return *this;
}

navdata::Leg Sketch::leg(navdata::PathTerminator terminator, const std::string& fix,
                         const LegDrawn& drawn) const {
    navdata::Leg leg;
    leg.terminator = terminator;
    if (!fix.empty()) {
        leg.fix = name(fix);
    }
    if (!drawn.recommended.empty()) {
        leg.recommended = name(drawn.recommended);
        if (!fix.empty()) {
            const earth::Geodesic line = earth::geodesic(place(drawn.recommended), place(fix));
            leg.theta = navdata::CodedCourse{
                to_tenth(base::to_radial(line.initial, base::Declination::east(Angle::degrees(declination_deg(
                                                           *find_station(drawn.recommended)))))
                             .degrees()),
                false};
            leg.rho = to_tenth(line.distance);
        }
    }
    if (drawn.course_deg) {
        leg.course = navdata::CodedCourse{*drawn.course_deg, false};
    }
    if (drawn.distance_nm) {
        leg.distance = Length::nautical_miles(*drawn.distance_nm);
    }
    if (drawn.altitude_ft) {
        leg.altitude_1 = Altitude::feet(*drawn.altitude_ft);
        leg.altitude_rule = navdata::AltitudeRule::at_or_above;
    }
    leg.turn = drawn.turn;
    leg.description = drawn.description;
    return leg;
}

Sketch& Sketch::approach(const std::string& airport, const std::string& ident, char route_type,
                         std::vector<navdata::Leg> legs) {
    std::uint32_t sequence = 0;
    for (navdata::Leg& leg : legs) {
        leg.sequence = sequence += 10;
    }
    navdata::Procedure procedure;
    procedure.airport = airport;
    procedure.region = region;
    procedure.kind = navdata::ProcedureKind::approach;
    procedure.ident = ident;
    procedure.branches.push_back({route_type, "", std::move(legs)});
    records_.procedures.push_back(std::move(procedure));
    return *this;
}

Sketch& Sketch::branch(navdata::ProcedureKind kind, const std::string& airport, const std::string& ident,
                       char route_type, const std::string& transition, std::vector<navdata::Leg> legs) {
    std::uint32_t sequence = 0;
    for (navdata::Leg& leg : legs) {
        leg.sequence = sequence += 10;
    }
    for (navdata::Procedure& drawn : records_.procedures) {
        if (drawn.kind == kind && drawn.airport == airport && drawn.ident == ident) {
            drawn.branches.push_back({route_type, transition, std::move(legs)});
            return *this;
        }
    }
    navdata::Procedure procedure;
    procedure.airport = airport;
    procedure.region = region;
    procedure.kind = kind;
    procedure.ident = ident;
    procedure.branches.push_back({route_type, transition, std::move(legs)});
    records_.procedures.push_back(std::move(procedure));
    return *this;
}

const navdata::Station* Sketch::find_station(const std::string& ident) const {
    for (const navdata::Station& station : records_.stations) {
        if (station.ident == ident) {
            return &station;
        }
    }
    return nullptr;
}

navdata::Station& Sketch::station(const std::string& ident) {
    for (navdata::Station& station : records_.stations) {
        if (station.ident == ident) {
            return station;
        }
    }
    OMNIWAY_EXPECTS(!"the station is drawn");
    return records_.stations.front();
}

navdata::PointName Sketch::name(const std::string& ident) const {
    using navdata::PointKind;
    if (const navdata::Station* station = find_station(ident)) {
        const PointKind kind = navdata::localizer(*station) != nullptr ? PointKind::localizer
                               : navdata::ndb(*station) != nullptr     ? PointKind::ndb
                                                                       : PointKind::vhf_station;
        return {kind, ident, region, station->airport};
    }
    for (const navdata::Fix& fix : records_.fixes) {
        if (fix.ident == ident) {
            return {PointKind::fix, ident, region, ""};
        }
    }
    for (const navdata::Airport& airport : records_.airports) {
        if (airport.ident == ident) {
            return {PointKind::airport, ident, region, ""};
        }
    }
    for (const navdata::Runway& runway : records_.runways) {
        if (runway.ident == ident) {
            return {PointKind::runway, ident, region, runway.airport};
        }
    }
    OMNIWAY_EXPECTS(!"the ident is drawn");
    return {};
}

earth::Position Sketch::place(const std::string& ident) const {
    if (const navdata::Station* station = find_station(ident)) {
        return navdata::site(*station);
    }
    for (const navdata::Fix& fix : records_.fixes) {
        if (fix.ident == ident) {
            return fix.position;
        }
    }
    for (const navdata::Airport& airport : records_.airports) {
        if (airport.ident == ident) {
            return airport.position;
        }
    }
    for (const navdata::Runway& runway : records_.runways) {
        if (runway.ident == ident) {
            return *runway.threshold;
        }
    }
    OMNIWAY_EXPECTS(!"the ident is drawn");
    return {};
}

navdata::Snapshot Sketch::world() const {
    return std::move(loaded().value);
}

base::Loaded<navdata::Snapshot> Sketch::loaded() const {
    return navdata::Snapshot::build(records_);
}

navdata::StationId station_of(const navdata::Snapshot& world, std::string_view ident) {
    for (const navdata::Point& point : world.named(ident)) {
        if (const auto* id = std::get_if<navdata::StationId>(&point)) {
            return *id;
        }
    }
    OMNIWAY_EXPECTS(!"the station is in the world");
    return {};
}

std::vector<const navdata::Airway*> airways_of(const navdata::Snapshot& world, std::string_view designator) {
    std::vector<const navdata::Airway*> found;
    for (const navdata::Airway& airway : world.airways()) {
        if (airway.designator == designator) {
            found.push_back(&airway);
        }
    }
    return found;
}

}  // namespace omniway::testing
