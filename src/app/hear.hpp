#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/plan_flight.hpp"
#include "app/world.hpp"
#include "flight/strip.hpp"
#include "radio/reception.hpp"
#include "readers/points_csv.hpp"

namespace omniway::app {

/// Who can be heard on the way from one place to another.
struct HearAlongQuestion {
    PlanQuestion flight;  // with its reception; two airports are planned
    bool direct = false;  // even between two airports
};

struct HeardAlong {
    World world;
    flight::Strip strip;
    std::string title;
    bool planned = false;
    std::string no_way;  // why no flight can be planned to hear along; empty where there is one
};

/// The strip between two places of the atlas, or given as LAT,LON.
///   Model     two airports are planned and the flight is what is heard along; anything else, or `direct`, is a straight line
///             at the altitude given.
///   Domain    places 0.1 to 2,000 NM apart; altitudes 100 to 60,000 ft.
///   Accuracy  as flight/strip.hpp.
///   Cost      a plan and a strip.
///   Fails     with every fault found: as plan_flight(), and app.ambiguous_ident, app.altitude_missing, app.out_of_range,
///             app.bad_place. That nothing can be flown is an answer: `no_way`.
///   Source    design section 6.
tl::expected<HeardAlong, std::vector<base::Error>> hear_along(const std::string& atlas,
                                                              const Shipped& shipped,
                                                              const HearAlongQuestion& question);

/// One part of a station at a place.
struct PartHeard {
    navdata::StationId station;
    radio::Part part = radio::Part::azimuth;
    radio::Reception reception;
};

struct HeardAt {
    readers::AskedPoint point;
    std::vector<PartHeard> parts;  // heard ones first, nearest first
};

struct HearPointsQuestion {
    std::string at;    // LAT,LON,FT; or
    std::string file;  // of points
    bool silent_too = false;
    std::optional<std::string> reception;
    std::vector<std::string> without;
    FilesGiven files = {};
};

struct HeardPoints {
    World world;
    radio::ReceptionMode mode = radio::ReceptionMode::horizon;
    std::vector<HeardAt> points;
};

/// Every station heard at places in the air, part by part; with `silent_too` also those within 250 NM that are not, and why.
///   Model     radio/reception.hpp; parts that a station has not are left out.
///   Domain    as readers/points_csv.hpp.
///   Accuracy  as radio/reception.hpp.
///   Cost      some microseconds a station and point.
///   Fails     with every fault found: app.bad_place, app.out_of_range, app.unknown_reception, app.no_terrain, read.* of the file, atlas.*.
///   Source    design section 2, idea 1.
tl::expected<HeardPoints, std::vector<base::Error>> hear_at(const std::string& atlas, const Shipped& shipped,
                                                            const HearPointsQuestion& question);

/// Numbers with commas between, as many as asked for, or app.bad_place.
base::Result<std::vector<double>> numbers_of(const std::string& text, std::size_t how_many,
                                             const std::string& form, const std::string& where);

/// The ground of this world by the word a person gave, or by what the atlas holds; it refers to the world.
/// Fails: app.unknown_reception, app.no_terrain.
base::Result<radio::Ground> ground_by_word(const World& world, const std::optional<std::string>& reception);

}  // namespace omniway::app
