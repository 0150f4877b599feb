#pragma once

#include <optional>
#include <span>
#include <string_view>

#include <nlohmann/json.hpp>

#include "base/altitude.hpp"
#include "earth/position.hpp"
#include "fixing/telling.hpp"
#include "flight/costs.hpp"
#include "flight/flight.hpp"
#include "navdata/procedure.hpp"
#include "navdata/provenance.hpp"
#include "navdata/snapshot.hpp"
#include "navdata/station.hpp"
#include "radio/ground.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::wire::detail {

using Json = nlohmann::ordered_json;

/// Numbers as they are worth printing.
double tenths(double value);
double hundredths(double value);
double thousandths(double value);

/// What stands in every document that could be flown from.
inline constexpr const char* caution =
    "For simulation and training. Not for real-world navigation: current official charts, local rules "
    "and licensed practice come first.";

/// Whole feet above mean sea level; null where the altitude is not known.
Json feet(const std::optional<base::Altitude>& altitude);
std::string_view kind_word(navdata::ProcedureKind kind);
std::string_view turn_word(navdata::Turn turn);
std::string_view marker_word(navdata::MarkerKind kind);

/// The parts that several documents share, so that one thing has one name in all of them.
Json place(earth::Position position);
Json station_json(const navdata::Station& station);
/// A way of telling a fix, with its error along the track and the crossing angle.
Json telling_json(const navdata::Snapshot& world, const fixing::Telling& telling);
/// The levels above the surface; none where the wind is the same at every altitude.
Json winds_aloft_json(const weather::WindsAloft& winds);
Json level_changes_json(const flight::Flight& flight);
/// The three costs of a flight, each margin with the place where it is tightest.
Json costs_json(const flight::Costs& costs);
/// What was taken to stand between stations and aircraft.
Json reception_json(radio::ReceptionMode mode, bool terrain_known);
Json sources_json(std::span<const navdata::Source> sources);

}  // namespace omniway::wire::detail
