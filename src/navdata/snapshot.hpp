#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/id.hpp"
#include "base/result.hpp"
#include "navdata/records.hpp"

namespace omniway::navdata {

using StationId = base::Id<Station>;
using FixId = base::Id<Fix>;
using AirportId = base::Id<Airport>;
using RunwayId = base::Id<Runway>;

/// A place that has a record of its own.
using Point = std::variant<FixId, StationId, AirportId, RunwayId>;

/// A leg of an airway between two recorded points that its coded distance agrees with.
struct AirwaySegment {
    Point from;
    Point to;
    base::Length distance;                        // geodesic
    std::optional<base::Radial> outbound_course;  // as coded at `from`
    std::optional<base::Radial> inbound_course;   // as coded at `to`
    AirwayDirection direction = AirwayDirection::both;
    PublishedMinimum minimum_forward;
    PublishedMinimum minimum_backward;
    std::optional<base::Altitude> maximum;
    Origin origin;
};

/// One continuous part of an airway: each segment begins where the one before ends.
struct Airway {
    std::string area;
    std::string designator;
    char route_type = ' ';
    char level = ' ';
    bool area_navigation = false;  // by route type or by its designator's letter
    std::vector<AirwaySegment> segments;
};

/// Everything known of the world for one question: immutable, with names resolved and places searchable.
///   Model     sorted vectors; things refer to each other by Id; airways are cut wherever a row is missing or geometry
///             denies the coded distance, never joined across the hole.
///   Domain    built once from Records by build(); `today` dates the magnetic variation used for courses to steer.
///   Accuracy  as published.
///   Cost      build about 1 microsecond a record; finding by name is a hash look-up, by place logarithmic.
///   Fails     build() never: what cannot be resolved is left out and said in the diagnostics (navdata.*).
///   Source    design sections 4 and 5.
class Snapshot {
public:
    static base::Loaded<Snapshot> build(Records records);

    Snapshot(Snapshot&&) noexcept;
    Snapshot& operator=(Snapshot&&) noexcept;
    ~Snapshot();

    std::span<const Source> sources() const;
    std::span<const Station> stations() const;
    std::span<const Fix> fixes() const;
    std::span<const Airport> airports() const;
    std::span<const Runway> runways() const;
    std::span<const Airway> airways() const;
    std::span<const Procedure> procedures() const;
    std::span<const Communication> communications() const;
    std::span<const Marker> markers() const;
    std::span<const MinimumSectorAltitude> sector_altitudes() const;

    const Station& operator[](StationId id) const { return stations()[id.index]; }
    const Fix& operator[](FixId id) const { return fixes()[id.index]; }
    const Airport& operator[](AirportId id) const { return airports()[id.index]; }
    const Runway& operator[](RunwayId id) const { return runways()[id.index]; }

    std::optional<Point> resolve(const PointName& name) const;
    std::optional<AirportId> airport(std::string_view ident) const;
    std::vector<RunwayId> runways_of(std::string_view airport) const;
    std::optional<StationId> localizer_of(std::string_view airport, std::string_view ident) const;
    /// The markers of a localizer, the farthest from the runway first.
    std::vector<const Marker*> markers_of(std::string_view airport, std::string_view localizer) const;
    std::vector<const Procedure*> procedures_of(std::string_view airport, ProcedureKind kind) const;
    std::vector<const Procedure*> approaches_of(std::string_view airport) const;
    /// Every point of that ident, of any kind.
    std::vector<Point> named(std::string_view ident) const;
    /// Every ident there is, for near matches.
    std::vector<std::string> idents() const;

    earth::Position position(const Point& point) const;
    const std::string& ident(const Point& point) const;

    /// The same world with these stations out of service: as if their records said so. Ids of the one are not ids of the other, nor are
    /// its procedures the same objects. It is built anew: as long as build(), half a millisecond for the demo region.
    Snapshot without(std::span<const StationId> out_of_service) const;

    /// Whether the only stations of that ident are out of service: they are left out of everything else here.
    bool is_out_of_service(std::string_view ident) const;

    /// Those left out because their records say that they are out of service.
    std::span<const Station> out_of_service() const;
    /// The same world with every station of that ident back in service. What has an Id here has the same there.
    Snapshot back_in_service(std::string_view ident) const;

    /// The same world in which an airway may be flown both ways, without a maximum, and as a conventional one: for asking what its
    /// restrictions cost, never for a flight. What has an Id here has the same there.
    Snapshot unrestricted(std::string_view airway) const;

    /// Within `radius` of a place, nearest first.
    std::vector<StationId> stations_within(earth::Position centre, base::Length radius) const;
    std::vector<FixId> fixes_within(earth::Position centre, base::Length radius) const;

    /// The published grid minimum of the cell that holds a place: none where no cell is published or it says unknown.
    std::optional<base::Altitude> grid_minimum(earth::Position place) const;

private:
    struct Index;
    Snapshot();
    Records records_;
    std::vector<Airway> airways_;
    std::unique_ptr<Index> index_;
};

}  // namespace omniway::navdata
