#pragma once

#include "base/altitude.hpp"
#include "earth/position.hpp"

namespace omniway::earth {
class SurveyedCorridors;
class Terrain;
}  // namespace omniway::earth

namespace omniway::radio {

class Horizons;

/// What is taken to stand between a station and an aircraft: nothing, the bulge of a smooth earth, or the ground itself.
///   Model     a setting of the flight, because some fly in worlds whose radios differ. `horizon` is the smooth 4/3 earth at sea
///             level; `terrain` is the ground where it is known and the smooth earth elsewhere, said so in every answer.
///   Domain    mode `terrain` needs `horizons`; `terrain` is the ground they were made from, null where none was imported.
///   Accuracy  exact: a choice.
///   Cost      three pointers, not owned.
///   Fails     never.
///   Source    docs/methods/line-of-sight.md.
enum class ReceptionMode { volume, horizon, terrain };

struct Ground {
    ReceptionMode mode = ReceptionMode::horizon;
    const Horizons* horizons = nullptr;
    const earth::Terrain* terrain = nullptr;
    // What this question has already looked at under its lines; null: each time anew. Not for several threads.
    earth::SurveyedCorridors* corridors = nullptr;
};

/// Where the waves leave a station: its place and the altitude of its electrical centre above mean sea level.
struct Antenna {
    earth::Position position;
    base::Altitude altitude;
    friend bool operator==(const Antenna&, const Antenna&) = default;
};

}  // namespace omniway::radio
