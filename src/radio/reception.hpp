#pragma once

#include <optional>
#include <string>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/station.hpp"
#include "radio/ground.hpp"

namespace omniway::radio {

/// The parts of a station that are heard apart: they may differ in site and in class.
enum class Part { azimuth, distance, glideslope };

/// Why a station is not heard at a place.
enum class Silence {
    none,
    no_such_part,
    beyond_service_volume,
    outside_service_heights,
    below_horizon,
    behind_terrain,
    overhead,
    outside_sector
};

/// Whether one part of a station is heard at a place, with the figures that decide.
///   Model     by the mode of the ground: the standard service volume of its class; that and the smooth 4/3-earth line of sight;
///             those and the line of sight over the terrain. The cone overhead (VOR 50 degrees, NDB 40 degrees from the vertical)
///             is silence for an azimuth in every mode, and is named where the aid would be heard but for it; a beacon's wave follows the ground and knows no horizon. A localizer
///             is heard within 18 NM inside 10 degrees of its course and 10 NM inside 35 degrees, front and back; a glideslope
///             within 10 NM inside 8 degrees of the approach. Each mode hears no more than the one before it.
///   Domain    any place and altitude.
///   Accuracy  as the published volumes and radio/horizon.hpp.
///   Cost      two geodesics at most and, over terrain, two looks into memos: 2 to 4 microseconds once the horizon exists.
///   Fails     never: silence is an answer and names its reason.
///   Source    trade-facts 1 and 2 (AIM 1-1-8, 1-1-9; PANS-OPS I-2-2 for the cones); docs/methods/reception.md.
struct Reception {
    Silence silence = Silence::no_such_part;
    base::Length distance;    // over the ground
    base::Length limit;       // the one that decides; zero where there is none
    base::Altitude altitude;  // the one asked about
    std::optional<base::Altitude>
        lowest;                // of the line of sight there; none where sight is not asked for or not reached
    base::Length obstacle;     // from the antenna to the ground that shades; zero where none does
    base::Angle sector;        // of a localizer or glideslope, each side; zero for others
    bool in_cone = false;      // in the cone overhead, whatever else silences it there
    bool site_known = true;    // false: how high its site stands is not known, and mean sea level is taken
    bool ground_known = true;  // false: over terrain, part of the line of sight runs over unknown ground

    bool heard() const { return silence == Silence::none; }
    /// By how much the aircraft is above the line of sight (negative: below it); none where sight was not asked for.
    std::optional<base::Length> above_sight() const;
    /// How much farther away it would still be heard, terrain aside (negative: too far); none where no distance decides.
    std::optional<base::Length> within_limit() const;
};

Reception hear(const navdata::Station& station, Part part, earth::Position place, base::Altitude altitude,
               const Ground& ground);

/// Where the antenna of a part stands and how high.
///   Model     the site's ground and a usual antenna height above it: VOR, TACAN, DME and glideslope 5 m, localizer 3 m. The
///             ground is the elevation of the record (of either part on one site); where the terrain there lies higher, the
///             terrain, because no antenna stands below its ground; where the record has none, the terrain; where that is
///             not known either, mean sea level, which `ground_from` says.
///   Domain    a part that the station has; a place of its own otherwise.
///   Accuracy  antenna heights: common practice, no source; elevations as recorded, to the foot.
///   Cost      a look into the terrain.
///   Fails     never: an unknown elevation is said.
///   Source    common practice, no source.
enum class SiteGround { record, terrain, not_known };
struct AntennaSite {
    Antenna antenna;
    base::Altitude ground;
    SiteGround ground_from = SiteGround::not_known;
};
AntennaSite antenna_site(const navdata::Station& station, Part part, const earth::Terrain* terrain);
Antenna antenna_of(const navdata::Station& station, Part part, const earth::Terrain* terrain);

/// The ground distance beyond which a VOR's or NDB's azimuth is heard nowhere at an altitude: without terrain it is heard up
/// to there in every direction, the cone overhead aside; terrain only shortens. None where it is heard nowhere at that
/// altitude.
std::optional<base::Length> azimuth_reach(const navdata::Station& station, base::Altitude altitude,
                                          const Ground& ground);

/// Whether its class had to be taken as the smallest of its kind.
bool class_is_assumed(const navdata::Station& station);

/// "beyond its 40 NM service volume (46.2 NM away)"; "behind the ground at 31.0 NM (6,200 ft needed, 5,000 flown)".
std::string to_text(const Reception& reception);

/// The reason alone, as a phrase: "behind the ground".
std::string to_text(Silence silence);

/// DME shows slant range: straight through the air from its antenna to the aircraft.
///   Model     a chord between two heights over a sphere of the mean radius. On a flat earth the answer would be short by half
///             the mean height over the radius: 0.03 NM at 70 NM and 16,000 ft, 0.3 NM at 200 NM and 60,000 ft.
///   Domain    ground distances up to 250 NM; antenna and aircraft up to 60,000 ft above sea level.
///   Accuracy  within 0.003 NM of the straight line on WGS 84 (reception_test.cpp).
///   Cost      a sine and a square root.
///   Fails     never.
///   Source    law of cosines; the table and the published triangle of trade-facts 5 are its test.
struct DmeHeights {
    base::Altitude aircraft;
    base::Altitude antenna;
};
base::Length slant_range(base::Length over_ground, const DmeHeights& heights);

}  // namespace omniway::radio
