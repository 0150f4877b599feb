#include "navdata/snapshot.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <unordered_map>
#include <unordered_set>

#include <fmt/format.h>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/point.hpp>
#include <boost/geometry/index/rtree.hpp>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::navdata {

namespace {

namespace bg = boost::geometry;
using SpherePoint = bg::model::point<double, 3, bg::cs::cartesian>;
using Place = std::pair<SpherePoint, std::uint32_t>;
using PlaceTree = bg::index::rtree<Place, bg::index::rstar<16>>;

SpherePoint sphere_point(earth::Position position) {
    const auto v = earth::unit_vector(position);
    return {v[0], v[1], v[2]};
}

// The unit sphere under geodetic latitude is within 0.6 % of the geodesic (earth/position.hpp): search 1 % wider by
// chord, then keep what the geodesic says.
double search_chord(base::Length radius) {
    const double mean_radius_m = 6371008.8;
    const double angle = std::min(radius.metres() / mean_radius_m * 1.01, std::numbers::pi);
    return 2.0 * std::sin(angle / 2.0);
}

std::string key(PointKind kind, std::string_view ident, std::string_view region, std::string_view airport) {
    std::string text(1, static_cast<char>('a' + static_cast<int>(kind)));
    text.append(ident).append(1, '|').append(region).append(1, '|').append(airport);
    return text;
}

PointKind kind_of(const Station& station) {
    if (localizer(station) != nullptr) {
        return PointKind::localizer;
    }
    if (ndb(station) != nullptr) {
        return station.airport.empty() ? PointKind::ndb : PointKind::terminal_ndb;
    }
    return PointKind::vhf_station;
}

std::int32_t cell(int south_deg, int west_deg) {
    return (south_deg + 90) * 360 + ((west_deg % 360) + 360) % 360;
}

// Rounding of the coded distance is 0.05 NM and of its ends 0.01 arc-second; the real part's legs agree within 0.07 NM
// (the data's own README), so 0.15 NM tells a leg from a hole (one such hole codes 20.1 NM where its ends are 39.9 apart).
constexpr double largest_distance_disagreement_nm = 0.15;

}  // namespace

struct Snapshot::Index {
    std::unordered_map<std::string, Point> by_name;
    std::unordered_multimap<std::string, Point> by_ident;
    std::unordered_map<std::string, AirportId> airports;
    std::unordered_multimap<std::string, RunwayId> runways;
    std::unordered_multimap<std::string, std::uint32_t> procedures;
    std::unordered_map<std::int32_t, std::optional<base::Altitude>> grid;
    std::unordered_set<std::string> out_of_service;
    std::vector<Station> silent;  // their records
    PlaceTree stations;
    PlaceTree fixes;
};

Snapshot::Snapshot() : index_(std::make_unique<Index>()) {}
Snapshot::Snapshot(Snapshot&&) noexcept = default;
Snapshot& Snapshot::operator=(Snapshot&&) noexcept = default;
Snapshot::~Snapshot() = default;

std::span<const Source> Snapshot::sources() const {
    return records_.sources;
}
std::span<const Station> Snapshot::stations() const {
    return records_.stations;
}
std::span<const Fix> Snapshot::fixes() const {
    return records_.fixes;
}
std::span<const Airport> Snapshot::airports() const {
    return records_.airports;
}
std::span<const Runway> Snapshot::runways() const {
    return records_.runways;
}
std::span<const Airway> Snapshot::airways() const {
    return airways_;
}
std::span<const Procedure> Snapshot::procedures() const {
    return records_.procedures;
}
std::span<const Communication> Snapshot::communications() const {
    return records_.communications;
}
std::span<const MinimumSectorAltitude> Snapshot::sector_altitudes() const {
    return records_.sector_altitudes;
}

std::optional<Point> Snapshot::resolve(const PointName& name) const {
    const auto found = index_->by_name.find(key(name.kind, name.ident, name.region, name.airport));
    if (found != index_->by_name.end()) {
        return found->second;
    }
    return std::nullopt;
}

std::optional<AirportId> Snapshot::airport(std::string_view ident) const {
    const auto found = index_->airports.find(std::string(ident));
    return found == index_->airports.end() ? std::nullopt : std::optional(found->second);
}

std::vector<RunwayId> Snapshot::runways_of(std::string_view airport) const {
    std::vector<RunwayId> found;
    const auto [first, last] = index_->runways.equal_range(std::string(airport));
    for (auto it = first; it != last; ++it) {
        found.push_back(it->second);
    }
    std::sort(found.begin(), found.end());
    return found;
}

std::optional<StationId> Snapshot::localizer_of(std::string_view airport, std::string_view ident) const {
    for (const Point& point : named(ident)) {
        if (const auto* id = std::get_if<StationId>(&point)) {
            const Station& station = (*this)[*id];
            if (localizer(station) != nullptr && station.airport == airport) {
                return *id;
            }
        }
    }
    return std::nullopt;
}

Snapshot Snapshot::without(std::span<const StationId> out_of_service) const {
    Records records = records_;
    for (const StationId id : out_of_service) {
        records.stations[id.index].out_of_service = true;
    }
    Snapshot world = build(std::move(records)).value;
    // What was out of service before has no record left here to say so.
    world.index_->out_of_service.insert(index_->out_of_service.begin(), index_->out_of_service.end());
    return world;
}

bool Snapshot::is_out_of_service(std::string_view ident) const {
    return index_->out_of_service.contains(std::string(ident)) && named(ident).empty();
}

std::span<const Station> Snapshot::out_of_service() const {
    return index_->silent;
}

// Those out of service go behind the others, so that no Id moves.
Snapshot Snapshot::back_in_service(std::string_view ident) const {
    Records records = records_;
    for (Station station : index_->silent) {
        station.out_of_service = station.ident != ident;
        records.stations.push_back(std::move(station));
    }
    return build(std::move(records)).value;
}

Snapshot Snapshot::unrestricted(std::string_view airway) const {
    Records records = records_;
    records.stations.insert(records.stations.end(), index_->silent.begin(), index_->silent.end());
    Snapshot world = build(std::move(records)).value;
    for (Airway& each : world.airways_) {
        if (each.designator != airway) {
            continue;
        }
        each.area_navigation = false;
        for (AirwaySegment& segment : each.segments) {
            segment.direction = AirwayDirection::both;
            segment.maximum.reset();
        }
    }
    return world;
}

std::vector<const Procedure*> Snapshot::approaches_of(std::string_view airport) const {
    return procedures_of(airport, ProcedureKind::approach);
}

std::vector<const Procedure*> Snapshot::procedures_of(std::string_view airport, ProcedureKind kind) const {
    std::vector<std::uint32_t> places;
    const auto [first, last] = index_->procedures.equal_range(std::string(airport));
    for (auto it = first; it != last; ++it) {
        places.push_back(it->second);
    }
    std::sort(places.begin(), places.end());
    std::vector<const Procedure*> found;
    for (const std::uint32_t place : places) {
        const Procedure& procedure = records_.procedures[place];
        if (procedure.kind == kind) {
            found.push_back(&procedure);
        }
    }
    return found;
}

std::vector<Point> Snapshot::named(std::string_view ident) const {
    std::vector<Point> found;
    const auto [first, last] = index_->by_ident.equal_range(std::string(ident));
    for (auto it = first; it != last; ++it) {
        found.push_back(it->second);
    }
    std::sort(found.begin(), found.end());
    return found;
}

std::vector<std::string> Snapshot::idents() const {
    std::vector<std::string> all;
    for (const auto& [ident, point] : index_->by_ident) {
        if (!std::holds_alternative<RunwayId>(point)) {
            all.push_back(ident);
        }
    }
    for (const Airway& airway : airways_) {
        all.push_back(airway.designator);
    }
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

earth::Position Snapshot::position(const Point& point) const {
    struct Where {
        const Snapshot& world;
        earth::Position operator()(FixId id) const { return world[id].position; }
        earth::Position operator()(StationId id) const { return site(world[id]); }
        earth::Position operator()(AirportId id) const { return world[id].position; }
        earth::Position operator()(RunwayId id) const { return world[id].threshold.value(); }
    };
    return std::visit(Where{*this}, point);
}

const std::string& Snapshot::ident(const Point& point) const {
    return std::visit([this](auto id) -> const std::string& { return (*this)[id].ident; }, point);
}

namespace {

template <class IdType>
std::vector<IdType> within(const PlaceTree& tree, const Snapshot& world, earth::Position centre,
                           base::Length radius) {
    const auto v = earth::unit_vector(centre);
    const double reach = search_chord(radius);
    const bg::model::box<SpherePoint> box({v[0] - reach, v[1] - reach, v[2] - reach},
                                          {v[0] + reach, v[1] + reach, v[2] + reach});
    std::vector<Place> hits;
    tree.query(bg::index::within(box), std::back_inserter(hits));
    std::vector<std::pair<double, std::uint32_t>> near;
    for (const auto& [place, index] : hits) {
        const double metres = earth::distance(centre, world.position(Point(IdType{index}))).metres();
        if (metres <= radius.metres()) {
            near.emplace_back(metres, index);
        }
    }
    std::sort(near.begin(), near.end());
    std::vector<IdType> found;
    found.reserve(near.size());
    for (const auto& [metres, index] : near) {
        found.push_back(IdType{index});
    }
    return found;
}

}  // namespace

std::vector<StationId> Snapshot::stations_within(earth::Position centre, base::Length radius) const {
    return within<StationId>(index_->stations, *this, centre, radius);
}

std::vector<FixId> Snapshot::fixes_within(earth::Position centre, base::Length radius) const {
    return within<FixId>(index_->fixes, *this, centre, radius);
}

std::optional<base::Altitude> Snapshot::grid_minimum(earth::Position place) const {
    const int south = static_cast<int>(std::floor(place.latitude_deg()));
    const int west = static_cast<int>(std::floor(place.longitude_deg()));
    const auto found = index_->grid.find(cell(south, west));
    return found == index_->grid.end() ? std::nullopt : found->second;
}

base::Loaded<Snapshot> Snapshot::build(Records records) {
    base::Loaded<Snapshot> loaded{Snapshot(), {}};
    Snapshot& world = loaded.value;
    Index& index = *world.index_;
    std::erase_if(records.stations, [&index](const Station& station) {
        if (station.out_of_service) {
            index.out_of_service.insert(station.ident);
            index.silent.push_back(station);
        }
        return station.out_of_service;
    });
    world.records_ = std::move(records);
    Records& data = world.records_;

    const auto where = [&](const Origin& origin) {
        const std::string file = origin.source.index < data.sources.size()
                                     ? data.sources[origin.source.index].file
                                     : std::string("?");
        return fmt::format("{}:{}", file, origin.line);
    };
    const auto enter = [&](PointKind kind, const std::string& ident, const std::string& region,
                           const std::string& airport, Point point) {
        index.by_name.emplace(key(kind, ident, region, airport), point);
        index.by_ident.emplace(ident, point);
    };

    std::vector<Place> places;
    for (std::uint32_t i = 0; i < data.stations.size(); ++i) {
        const Station& station = data.stations[i];
        const PointKind kind = kind_of(station);
        enter(kind, station.ident, station.region, station.airport, StationId{i});
        // Rows name a VHF aid by ident and region alone, whether or not it belongs to an airport.
        index.by_name.emplace(key(kind, station.ident, station.region, ""), StationId{i});
        if (kind == PointKind::localizer && station.dme) {
            index.by_name.emplace(key(PointKind::vhf_station, station.ident, station.region, ""),
                                  StationId{i});
        }
        places.emplace_back(sphere_point(site(station)), i);
    }
    index.stations = PlaceTree(places);
    places.clear();
    for (std::uint32_t i = 0; i < data.fixes.size(); ++i) {
        const Fix& fix = data.fixes[i];
        enter(fix.airport.empty() ? PointKind::fix : PointKind::terminal_fix, fix.ident, fix.region,
              fix.airport, FixId{i});
        places.emplace_back(sphere_point(fix.position), i);
    }
    index.fixes = PlaceTree(places);
    for (std::uint32_t i = 0; i < data.airports.size(); ++i) {
        const Airport& airport = data.airports[i];
        enter(PointKind::airport, airport.ident, airport.region, "", AirportId{i});
        index.by_name.emplace(key(PointKind::airport, airport.ident, airport.region, airport.ident),
                              AirportId{i});
        index.airports.emplace(airport.ident, AirportId{i});
    }
    for (std::uint32_t i = 0; i < data.runways.size(); ++i) {
        const Runway& runway = data.runways[i];
        index.runways.emplace(runway.airport, RunwayId{i});
        if (!runway.threshold) {
            continue;
        }
        const auto airport = index.airports.find(runway.airport);
        const std::string region =
            airport == index.airports.end() ? std::string() : data.airports[airport->second.index].region;
        enter(PointKind::runway, runway.ident, region, runway.airport, RunwayId{i});
    }
    for (std::uint32_t i = 0; i < data.procedures.size(); ++i) {
        index.procedures.emplace(data.procedures[i].airport, i);
    }
    for (const GridMinimum& minimum : data.grid_minimums) {
        index.grid.emplace(cell(minimum.south_deg, minimum.west_deg), minimum.altitude);
    }

    // Airways: rows of one designator in one area, in sequence.
    std::vector<const AirwayRow*> rows;
    rows.reserve(data.airway_rows.size());
    for (const AirwayRow& row : data.airway_rows) {
        rows.push_back(&row);
    }
    std::stable_sort(rows.begin(), rows.end(), [](const AirwayRow* a, const AirwayRow* b) {
        return std::tie(a->area, a->designator, a->sequence) < std::tie(b->area, b->designator, b->sequence);
    });
    bool continues = false;
    for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
        const AirwayRow& row = *rows[i];
        const AirwayRow& next = *rows[i + 1];
        if (row.area != next.area || row.designator != next.designator || row.ends_continuous_part) {
            continues = false;
            continue;
        }
        const auto from = world.resolve(row.point);
        const auto to = world.resolve(next.point);
        if (!from || !to) {
            loaded.diagnostics.push_back(
                {"navdata.airway_point_unknown",
                 fmt::format("{} cannot be flown from {} to {}: {} has no record", row.designator,
                             row.point.ident, next.point.ident, from ? next.point.ident : row.point.ident),
                 where(row.origin)});
            continues = false;
            continue;
        }
        const base::Length distance = earth::distance(world.position(*from), world.position(*to));
        if (row.distance_to_next && std::abs(row.distance_to_next->nautical_miles() -
                                             distance.nautical_miles()) > largest_distance_disagreement_nm) {
            loaded.diagnostics.push_back(
                {"navdata.airway_hole",
                 fmt::format("{} is not joined from {} to {}: the row codes {:.1f} NM, the points are {:.1f} "
                             "NM apart "
                             "(a row between them is missing)",
                             row.designator, row.point.ident, next.point.ident,
                             row.distance_to_next->nautical_miles(), distance.nautical_miles()),
                 where(row.origin)});
            continues = false;
            continue;
        }
        if (!continues || world.airways_.empty() || world.airways_.back().designator != row.designator ||
            world.airways_.back().route_type != row.route_type || world.airways_.back().level != row.level) {
            world.airways_.push_back({row.area,
                                      row.designator,
                                      row.route_type,
                                      row.level,
                                      row.route_type == 'R' || is_area_navigation_designator(row.designator),
                                      {}});
        }
        const bool split = !std::holds_alternative<std::monostate>(row.minimum_backward);
        world.airways_.back().segments.push_back(
            {*from, *to, distance, row.outbound_course, next.inbound_course, row.direction, row.minimum,
             split ? row.minimum_backward : row.minimum, row.maximum, row.origin});
        continues = true;
    }
    return loaded;
}

}  // namespace omniway::navdata
