#include "navdata/snapshot.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <functional>
#include <numbers>
#include <numeric>
#include <tuple>
#include <unordered_map>
#include <unordered_set>

#include <fmt/format.h>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/point.hpp>
#include <boost/geometry/index/rtree.hpp>

#include "base/parallel.hpp"
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

template <class Things, class PositionOf>
PlaceTree tree_of(const Things& things, PositionOf position_of) {
    std::vector<Place> places;
    places.reserve(things.size());
    for (const auto& thing : things) {
        places.emplace_back(sphere_point(position_of(thing)), static_cast<std::uint32_t>(places.size()));
    }
    return PlaceTree(places);
}

// The unit sphere under geodetic latitude is within 0.6 % of the geodesic (earth/position.hpp): search 1 % wider by
// chord, then keep what the geodesic says.
double search_chord(base::Length radius) {
    const double mean_radius_m = 6371008.8;
    const double angle = std::min(radius.metres() / mean_radius_m * 1.01, std::numbers::pi);
    return 2.0 * std::sin(angle / 2.0);
}

// Finds the places in a list of things by one of their texts. The texts stay where they are and are read again at each look-up, so
// a hundred thousand names cost two allocations; whoever looks something up gives the list again.
template <class Thing>
class PlacesByText {
public:
    PlacesByText() = default;
    PlacesByText(const std::vector<Thing>& things, std::string Thing::*text)
        : text_(text), begins_(std::bit_ceil(things.size()) + 1), places_(things.size()) {
        std::vector<std::uint32_t> buckets;
        buckets.reserve(things.size());
        for (const Thing& thing : things) {
            buckets.push_back(bucket_of(thing.*text));
            ++begins_[buckets.back()];
        }
        // The end of each bucket, which filling from behind makes its beginning.
        std::partial_sum(begins_.begin(), begins_.end(), begins_.begin());
        for (std::size_t i = things.size(); i-- > 0;) {
            places_[--begins_[buckets[i]]] = static_cast<std::uint32_t>(i);
        }
    }

    // The first place of that text whose thing fits.
    template <class Fits>
    std::optional<std::uint32_t> first(const std::vector<Thing>& things, std::string_view text,
                                       Fits fits) const {
        const std::uint32_t bucket = bucket_of(text);
        for (std::uint32_t i = begins_[bucket]; i < begins_[bucket + 1]; ++i) {
            const Thing& thing = things[places_[i]];
            if (thing.*text_ == text && fits(thing)) {
                return places_[i];
            }
        }
        return std::nullopt;
    }

    // All places of that text whose things fit, in ascending order.
    template <class Fits>
    std::vector<std::uint32_t> all(const std::vector<Thing>& things, std::string_view text, Fits fits) const {
        std::vector<std::uint32_t> found;
        first(things, text, [&](const Thing& thing) {
            if (fits(thing)) {
                found.push_back(static_cast<std::uint32_t>(&thing - things.data()));
            }
            return false;
        });
        return found;
    }

private:
    // A power of two of buckets, one or two to a thing.
    std::uint32_t bucket_of(std::string_view text) const {
        return static_cast<std::uint32_t>(std::hash<std::string_view>()(text) & (begins_.size() - 2));
    }
    std::string Thing::*text_ = nullptr;
    std::vector<std::uint32_t> begins_ = {0, 0};  // of each bucket among the places, and the end of the last
    std::vector<std::uint32_t> places_;
};

PointKind kind_of(const Station& station) {
    if (localizer(station) != nullptr) {
        return PointKind::localizer;
    }
    if (ndb(station) != nullptr) {
        return station.airport.empty() ? PointKind::ndb : PointKind::terminal_ndb;
    }
    return PointKind::vhf_station;
}

// Rows name an aid by ident and region alone, whether or not it belongs to an airport, and the DME of a localizer as a VHF aid.
bool is_named(const Station& station, const PointName& name) {
    if (station.region != name.region) {
        return false;
    }
    const PointKind kind = kind_of(station);
    if (kind == name.kind) {
        return name.airport.empty() || name.airport == station.airport;
    }
    return name.kind == PointKind::vhf_station && name.airport.empty() && kind == PointKind::localizer &&
           station.dme;
}

bool is_named(const Fix& fix, const PointName& name) {
    const PointKind kind = fix.airport.empty() ? PointKind::fix : PointKind::terminal_fix;
    return kind == name.kind && fix.region == name.region && fix.airport == name.airport;
}

bool is_named(const Airport& airport, const PointName& name) {
    return airport.region == name.region && (name.airport.empty() || name.airport == airport.ident);
}

const auto any = [](const auto&) { return true; };
const auto has_threshold = [](const Runway& runway) { return runway.threshold.has_value(); };

template <class IdType>
std::vector<IdType> ids(const std::vector<std::uint32_t>& places) {
    std::vector<IdType> found;
    found.reserve(places.size());
    for (const std::uint32_t place : places) {
        found.push_back(IdType{place});
    }
    return found;
}

template <class IdType>
std::optional<IdType> id(std::optional<std::uint32_t> place) {
    return place ? std::optional(IdType{*place}) : std::nullopt;
}

std::int32_t cell(int south_deg, int west_deg) {
    return (south_deg + 90) * 360 + ((west_deg % 360) + 360) % 360;
}

// Rounding of the coded distance is 0.05 NM and of its ends 0.01 arc-second; the real part's legs agree within 0.07 NM
// (the data's own README), so 0.15 NM tells a leg from a hole (one such hole codes 20.1 NM where its ends are 39.9 apart).
constexpr double largest_distance_disagreement_nm = 0.15;

}  // namespace

struct Snapshot::Index {
    PlacesByText<Station> stations_by_ident;
    PlacesByText<Fix> fixes_by_ident;
    PlacesByText<Airport> airports_by_ident;
    PlacesByText<Runway> runways_by_ident;
    PlacesByText<Runway> runways_by_airport;
    PlacesByText<Procedure> procedures_by_airport;
    std::unordered_map<std::int32_t, std::optional<base::Altitude>> grid;
    std::unordered_set<std::string> out_of_service;
    std::vector<Station> silent;  // their records
    PlaceTree stations;
    PlaceTree fixes;

    void fill(const Records& data) {
        stations_by_ident = {data.stations, &Station::ident};
        fixes_by_ident = {data.fixes, &Fix::ident};
        airports_by_ident = {data.airports, &Airport::ident};
        runways_by_ident = {data.runways, &Runway::ident};
        runways_by_airport = {data.runways, &Runway::airport};
        procedures_by_airport = {data.procedures, &Procedure::airport};
        stations = tree_of(data.stations, [](const Station& station) { return site(station); });
        fixes = tree_of(data.fixes, [](const Fix& fix) { return fix.position; });
        for (const GridMinimum& minimum : data.grid_minimums) {
            grid.emplace(cell(minimum.south_deg, minimum.west_deg), minimum.altitude);
        }
    }
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
std::span<const Marker> Snapshot::markers() const {
    return records_.markers;
}
std::span<const MinimumSectorAltitude> Snapshot::sector_altitudes() const {
    return records_.sector_altitudes;
}

std::optional<Point> Snapshot::resolve(const PointName& name) const {
    const auto named = [&name](const auto& thing) { return is_named(thing, name); };
    switch (name.kind) {
        case PointKind::fix:
        case PointKind::terminal_fix:
            return id<FixId>(index_->fixes_by_ident.first(records_.fixes, name.ident, named));
        case PointKind::vhf_station:
        case PointKind::ndb:
        case PointKind::terminal_ndb:
        case PointKind::localizer:
            return id<StationId>(index_->stations_by_ident.first(records_.stations, name.ident, named));
        case PointKind::airport:
            return id<AirportId>(index_->airports_by_ident.first(records_.airports, name.ident, named));
        case PointKind::runway:
            break;
    }
    const auto its_airport = airport(name.airport);
    if ((its_airport ? (*this)[*its_airport].region : std::string()) != name.region) {
        return std::nullopt;
    }
    return id<RunwayId>(index_->runways_by_airport.first(
        records_.runways, name.airport,
        [&name](const Runway& runway) { return runway.ident == name.ident && has_threshold(runway); }));
}

std::optional<AirportId> Snapshot::airport(std::string_view ident) const {
    return id<AirportId>(index_->airports_by_ident.first(records_.airports, ident, any));
}

std::vector<RunwayId> Snapshot::runways_of(std::string_view airport) const {
    return ids<RunwayId>(index_->runways_by_airport.all(records_.runways, airport, any));
}

std::optional<StationId> Snapshot::localizer_of(std::string_view airport, std::string_view ident) const {
    return id<StationId>(
        index_->stations_by_ident.first(records_.stations, ident, [airport](const Station& station) {
            return localizer(station) != nullptr && station.airport == airport;
        }));
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

// A world has a few thousand at most, and few ask.
std::vector<const Marker*> Snapshot::markers_of(std::string_view airport, std::string_view localizer) const {
    std::vector<const Marker*> found;
    for (const Marker& marker : records_.markers) {
        if (marker.airport == airport && marker.localizer == localizer) {
            found.push_back(&marker);
        }
    }
    const auto from_afar = [](const Marker* marker) {
        return marker->kind == MarkerKind::back_course ? -1 : static_cast<int>(marker->kind);
    };
    std::stable_sort(found.begin(), found.end(),
                     [&from_afar](const Marker* a, const Marker* b) { return from_afar(a) < from_afar(b); });
    return found;
}

std::vector<const Procedure*> Snapshot::approaches_of(std::string_view airport) const {
    return procedures_of(airport, ProcedureKind::approach);
}

std::vector<const Procedure*> Snapshot::procedures_of(std::string_view airport, ProcedureKind kind) const {
    std::vector<const Procedure*> found;
    index_->procedures_by_airport.first(records_.procedures, airport, [&](const Procedure& procedure) {
        if (procedure.kind == kind) {
            found.push_back(&procedure);
        }
        return false;
    });
    return found;
}

std::vector<Point> Snapshot::named(std::string_view ident) const {
    std::vector<Point> found;
    const auto add = [&found]<class IdType>(const std::vector<IdType>& more) {
        found.insert(found.end(), more.begin(), more.end());
    };
    add(ids<FixId>(index_->fixes_by_ident.all(records_.fixes, ident, any)));
    add(ids<StationId>(index_->stations_by_ident.all(records_.stations, ident, any)));
    add(ids<AirportId>(index_->airports_by_ident.all(records_.airports, ident, any)));
    add(ids<RunwayId>(index_->runways_by_ident.all(records_.runways, ident, has_threshold)));
    return found;
}

std::vector<std::string> Snapshot::idents() const {
    std::vector<std::string> all;
    const auto add = [&all](const auto& things, auto text) {
        for (const auto& thing : things) {
            all.push_back(thing.*text);
        }
    };
    add(records_.stations, &Station::ident);
    add(records_.fixes, &Fix::ident);
    add(records_.airports, &Airport::ident);
    add(airways_, &Airway::designator);
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

namespace {

// The rows of each airway (one designator in one area) in sequence.
std::vector<const AirwayRow*> in_sequence(const std::vector<AirwayRow>& airway_rows) {
    const auto before = [](const AirwayRow& a, const AirwayRow& b) {
        return std::tie(a.area, a.designator, a.sequence) < std::tie(b.area, b.designator, b.sequence);
    };
    std::vector<const AirwayRow*> rows;
    rows.reserve(airway_rows.size());
    for (const AirwayRow& row : airway_rows) {
        rows.push_back(&row);
    }
    // Most sources give them so.
    if (!std::is_sorted(airway_rows.begin(), airway_rows.end(), before)) {
        std::stable_sort(rows.begin(), rows.end(),
                         [before](const AirwayRow* a, const AirwayRow* b) { return before(*a, *b); });
    }
    return rows;
}

bool is_one_leg(const AirwayRow& row, const AirwayRow& next) {
    return row.area == next.area && row.designator == next.designator && !row.ends_continuous_part;
}

bool goes_on(const Airway& airway, const AirwayRow& row) {
    return airway.designator == row.designator && airway.route_type == row.route_type &&
           airway.level == row.level;
}

Airway begun_at(const AirwayRow& row) {
    return {row.area,
            row.designator,
            row.route_type,
            row.level,
            row.route_type == 'R' || is_area_navigation_designator(row.designator),
            {}};
}

AirwaySegment segment(const AirwayRow& row, const AirwayRow& next, Point from, Point to,
                      base::Length distance) {
    const bool split = !std::holds_alternative<std::monostate>(row.minimum_backward);
    return {from,
            to,
            distance,
            row.outbound_course,
            next.inbound_course,
            row.direction,
            row.minimum,
            split ? row.minimum_backward : row.minimum,
            row.maximum,
            row.origin};
}

std::string where(const Records& data, const Origin& origin) {
    const bool known = origin.source.index < data.sources.size();
    return fmt::format("{}:{}", known ? data.sources[origin.source.index].file : "?", origin.line);
}

base::Error point_unknown(const AirwayRow& row, const AirwayRow& next, bool first_is_known,
                          std::string where) {
    return {"navdata.airway_point_unknown",
            fmt::format("{} cannot be flown from {} to {}: {} has no record", row.designator, row.point.ident,
                        next.point.ident, first_is_known ? next.point.ident : row.point.ident),
            std::move(where)};
}

base::Error hole(const AirwayRow& row, const AirwayRow& next, base::Length distance, std::string where) {
    return {"navdata.airway_hole",
            fmt::format("{} is not joined from {} to {}: the row codes {:.1f} NM, the points are {:.1f} NM "
                        "apart (a row between them is missing)",
                        row.designator, row.point.ident, next.point.ident,
                        row.distance_to_next->nautical_miles(), distance.nautical_miles()),
            std::move(where)};
}

// The length of each leg from a row to the next where both points are known: geodesics, which are most of an airway's cost.
std::vector<base::Length> lengths(const Snapshot& world, const std::vector<const AirwayRow*>& rows,
                                  const std::vector<std::optional<Point>>& points) {
    std::vector<base::Length> found(rows.size());
    constexpr std::size_t at_once = 1024;
    base::parallel_for(rows.size() / at_once + 1, [&](std::size_t part) {
        const std::size_t end = std::min((part + 1) * at_once + 1, rows.size());
        for (std::size_t i = part * at_once; i + 1 < end; ++i) {
            if (is_one_leg(*rows[i], *rows[i + 1]) && points[i] && points[i + 1]) {
                found[i] = earth::distance(world.position(*points[i]), world.position(*points[i + 1]));
            }
        }
    });
    return found;
}

std::vector<Airway> joined(const Snapshot& world, const Records& data,
                           std::vector<base::Error>& diagnostics) {
    const std::vector<const AirwayRow*> rows = in_sequence(data.airway_rows);
    std::vector<std::optional<Point>> points;
    points.reserve(rows.size());
    for (const AirwayRow* row : rows) {
        points.push_back(world.resolve(row->point));
    }
    const std::vector<base::Length> length = lengths(world, rows, points);
    std::vector<Airway> airways;
    bool continues = false;
    for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
        const AirwayRow& row = *rows[i];
        const AirwayRow& next = *rows[i + 1];
        const bool continued = std::exchange(continues, false);
        if (!is_one_leg(row, next)) {
            continue;
        }
        const auto from = points[i];
        const auto to = points[i + 1];
        if (!from || !to) {
            diagnostics.push_back(point_unknown(row, next, from.has_value(), where(data, row.origin)));
            continue;
        }
        const base::Length distance = length[i];
        if (row.distance_to_next && std::abs(row.distance_to_next->nautical_miles() -
                                             distance.nautical_miles()) > largest_distance_disagreement_nm) {
            diagnostics.push_back(hole(row, next, distance, where(data, row.origin)));
            continue;
        }
        if (!continued || !goes_on(airways.back(), row)) {
            airways.push_back(begun_at(row));
        }
        airways.back().segments.push_back(segment(row, next, *from, *to, distance));
        continues = true;
    }
    return airways;
}

}  // namespace

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
    index.fill(world.records_);
    world.airways_ = joined(world, world.records_, loaded.diagnostics);
    return loaded;
}

}  // namespace omniway::navdata
