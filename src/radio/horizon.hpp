#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/progress.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "radio/ground.hpp"

namespace omniway::earth {
class Terrain;
}

namespace omniway::radio {

/// What decides how low an antenna is seen.
enum class SightLimit : std::uint8_t { smooth_earth, terrain, unknown_ground };

/// The lowest altitude at which an antenna is seen at a place: at it and above, the straight line is clear.
struct LowestSight {
    base::Altitude altitude;  // the ground of the place itself may stand higher
    SightLimit limit = SightLimit::smooth_earth;
    base::Length obstacle;  // distance from the antenna of the ground that limits; zero for the smooth earth
    bool ground_known =
        true;  // false: part of the line runs over unknown ground, taken as smooth earth at sea level

    bool operator==(const LowestSight&) const = default;
};

/// How a place is seen from an antenna: its distance over the ground and its true bearing there.
struct FromAntenna {
    base::Length distance;
    base::TrueBearing bearing;
};

/// The shadow line of one antenna in every direction: for each distance the height below which the ground hides it.
///   Model     straight rays over an earth of 4/3 of the mean radius, that is, a standard atmosphere. Along each of several
///             thousand directions the steepest slope from the antenna to any ground before a distance, kept as a
///             polyline that is never below it and at most 2 m above; between directions linear. Unknown ground counts
///             as smooth earth at sea level, and the answer says so. An antenna below the ground it stands on is taken to
///             stand on it.
///   Domain    any place; beyond the radius the ground is unknown.
///   Accuracy  distance within 0.001 % and direction within 0.001 degrees of the geodesic up to 200 NM; against a
///             brute-force ray see docs/methods/line-of-sight.md.
///   Cost      lowest_seen() about 0.2 microseconds, less than one geodesic; some megabytes (size_bytes()).
///   Fails     from_bytes(): an empty answer for what to_bytes() of this version did not write.
///   Source    ITU-R P.310 (effective earth radius 4/3); derivation in docs/methods/line-of-sight.md.
class Horizon {
public:
    LowestSight lowest_seen(earth::Position place) const;
    /// The same where it is at hand how the place is seen from the antenna.
    LowestSight lowest_seen(const FromAntenna& place) const;

    const Antenna& antenna() const { return antenna_; }
    base::Length radius() const { return base::Length::metres(radius_m_); }
    std::size_t size_bytes() const;

    std::vector<std::byte> to_bytes() const;
    static std::optional<Horizon> from_bytes(std::span<const std::byte> bytes);

private:
    friend class HorizonBuilder;
    struct Sight;

    Horizon(const Antenna& antenna, double radius_m, double unit_m);
    Sight along_ray(std::size_t ray, double distance_m) const;
    LowestSight lowest(double distance_m, double direction_rad) const;
    bool is_sound() const;

    Antenna antenna_;
    double radius_m_ = 0.0;
    double unit_m_ = 0.0;  // distances are whole multiples of it
    // Vertices of all rays, ray after ray from north clockwise; those of ray i are [first_[i], first_[i + 1]).
    std::vector<std::uint32_t> first_;
    std::vector<std::uint16_t> known_;     // by ray: units from the antenna to the first unknown ground
    std::vector<std::uint16_t> distance_;  // by vertex, in units
    std::vector<std::uint16_t> obstacle_;  // by vertex: units to the ground that limits there
    std::vector<SightLimit> limit_;        // by vertex
    std::vector<float> height_m_;          // by vertex: slope of the shadow line times the distance
};

/// The horizon of an antenna out to a radius.
///   Model     ground sampled bilinearly every node spacing (every quarter in the first 16 nodes, every half to 256) along rays one node
///             spacing apart at the radius, 16,384 at most. Ground too low to raise the shadow line is not looked at: over eight
///             nodes at a time by the highest around, which changes no answer.
///   Domain    radius up to 400 NM. Ground of more than 48 million nodes is thinned, keeping the highest of what is merged.
///   Accuracy  as Horizon.
///   Cost      0.1 to 0.25 s for 130 NM over nodes 6 arc-seconds apart. One thread.
///   Fails     never; cancelled, what was not swept yet is unknown ground.
///   Source    docs/methods/line-of-sight.md.
Horizon horizon_of(const earth::Terrain& terrain, const Antenna& antenna, base::Length radius,
                   const base::Progress& progress);

/// Where horizons outlive the process: bytes by key, both opaque to whoever keeps them. Either may be empty.
struct HorizonKeeper {
    std::function<std::optional<std::vector<std::byte>>(const std::string& key)> load;
    std::function<void(const std::string& key, std::span<const std::byte> bytes)> save;
};

/// The horizons of a terrain, each made when first asked for and kept while the bound allows.
///   Model     a memo: the same question gives the same answer, from memory, from the keeper, or made anew. The longest
///             unused goes first when the bound is passed. What the keeper gives and is not sound is made anew.
///   Domain    any antenna; radius up to 400 NM.
///   Accuracy  as Horizon.
///   Cost      a lock and a search when at hand. Any number of threads; two that ask for one horizon make it once, and
///             different ones are made side by side. The keeper is called from these threads.
///   Fails     never.
///   Source    common practice, no source.
class Horizons {
public:
    static constexpr std::size_t default_bound_bytes = std::size_t{256} << 20U;

    explicit Horizons(earth::Terrain terrain, HorizonKeeper keeper = {},
                      std::size_t bound_bytes = default_bound_bytes);
    ~Horizons();

    std::shared_ptr<const Horizon> of(const Antenna& antenna, base::Length radius) const;

private:
    class Memory;
    std::unique_ptr<Memory> memory_;
};

}  // namespace omniway::radio
