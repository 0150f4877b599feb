#pragma once

#include <span>
#include <string>
#include <vector>

#include "flight/strip.hpp"
#include "navdata/snapshot.hpp"
#include "radio/coverage.hpp"
#include "radio/reception.hpp"

namespace omniway::wire {

/// What can be heard as JSON, as api/hear.schema.json describes it: along a way, at places, or as the account of a map.
///   Model     one document with one of `along`, `no_way`, `points` and `map`; units stand in the names. A margin that nothing limits is
///             null; a minimum or a ground that is not known is null, never zero.
///   Domain    values of the same snapshot.
///   Accuracy  0.01 NM, whole feet.
///   Cost      some strings.
///   Fails     never.
///   Source    RFC 8259; api/hear.schema.json.
std::string hear_along_json(const navdata::Snapshot& world, const flight::Strip& strip,
                            const std::string& title, bool planned);

/// That there is no way to hear along, and why.
std::string hear_nothing_json(const navdata::Snapshot& world, radio::ReceptionMode mode,
                              const std::string& no_way);

struct HeardPart {
    navdata::StationId station;
    radio::Part part = radio::Part::azimuth;
    radio::Reception reception;
};
struct HeardPoint {
    earth::Position place;
    base::Altitude altitude;
    std::vector<HeardPart> parts;
};
std::string hear_points_json(const navdata::Snapshot& world, radio::ReceptionMode mode,
                             std::span<const HeardPoint> points);

struct MapAccount {
    std::string file;
    const radio::CellGrid& grid;
    radio::ReceptionMode mode = radio::ReceptionMode::horizon;
    std::optional<base::Altitude> altitude;
    std::string station;  // empty: all together
    std::string picture;  // what a PNG shows; empty for a GeoTIFF
    struct Band {
        std::string name;
        std::size_t cells = 0;
        std::optional<float> least;
        std::optional<float> most;
    };
    std::vector<Band> bands;
    std::size_t cells_over_unknown_ground = 0;
};
std::string hear_map_json(const navdata::Snapshot& world, const MapAccount& map);

}  // namespace omniway::wire
