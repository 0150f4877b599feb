#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>

#include "base/bearing.hpp"
#include "base/random.hpp"
#include "earth/position.hpp"
#include "navdata/records.hpp"

namespace omniway::bench {

/// How much of everything an invented continent has, and where it lies.
struct ContinentSize {
    std::size_t vors = 1000;
    std::size_t ndbs = 500;
    std::size_t fixes = 60000;
    std::size_t airways = 1250;
    std::size_t segments = 17000;
    std::size_t airports = 14000;
    std::size_t approaches = 10000;
    double south_deg = 28.0;
    double west_deg = -170.0;
    double height_deg = 20.0;
    double width_deg = 47.0;

    /// A part of it as dense as the whole, its sides as the whole's.
    ContinentSize part(double share) const;
};

/// The ground of the continent: plains, a high range in the west, an older one in the east, sea outside.
///   Model     value noise of four sizes on a lattice of mixed numbers; ranges by a bump over the longitude.
///   Domain    any place.
///   Accuracy  exact: it is what the atlas holds at its nodes, but for rounding to whole metres.
///   Cost      about 0.2 microseconds a place.
///   Fails     never.
///   Source    none: it is invented.
class Relief {
public:
    Relief(const ContinentSize& size, base::Seed seed) : size_(size), seed_(seed.value) {}
    double metres(double latitude_deg, double longitude_deg) const;

private:
    double noise(double x, double y, std::uint64_t layer) const;
    ContinentSize size_;
    std::uint64_t seed_;
};

/// The navigation data of an invented continent: a network of the size and the proportions of a real publication.
///   Model     VORs on a shaken grid, 52 NM apart; airways from VOR to VOR, straight or with one bend, their fixes on the radials of
///             both; minimums from the ground of Relief, some unknown, some by direction; some airways one-way, some with a gap,
///             the area-navigation ones between points of their own. Airports with ILS, LOC, VOR and NDB approaches coded as a
///             reader gives them, the rest with area-navigation approaches or none. Grid minimums everywhere. No SIDs, no STARs.
///             Proportions, counted in the published part of cycle 2101 (530 airway rows, 75 VORs, 28 NDBs, 1,529 fixes, 830
///             approaches) and in the United States rows of a public table of navaids (1,046 VORs): airways conventional low
///             66 %, conventional high 17 %, area navigation low 10 %, high 7 %; half a segment's length 18 NM, nine tenths 70;
///             minimum unknown 4 %, by direction 4 %; VOR class H 40 %, L 54 %, T 6 %, with a DME 95 %; NDB under 50 W 46 %, 50
///             to 1,999 W 32 %, locators 22 %; terminal fixes 70 %; approaches ILS 18 %, LOC 19 %, VOR 7.5 %, area navigation 55 %.
///             Rounded up from nothing: NDB approaches 2 % (1 in 830), one-way airways 1 % (none), from memory.
///   Domain    sizes down to a fortieth of the whole.
///   Accuracy  numbers of everything as asked, but airway segments within 6 %.
///   Cost      some seconds.
///   Fails     never. The same seed gives the same records on one machine.
///   Source    trade-facts 13.7 (the size); the proportions: counted as said.
using VariationAt = std::function<base::Variation(earth::Position)>;
navdata::Records continent_records(const ContinentSize& size, base::Seed seed, const VariationAt& variation);

}  // namespace omniway::bench
