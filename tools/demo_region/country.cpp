#include "country.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace omniway::demo_region {

namespace {

// The main island, about 190 NM from west to east and 120 from south to north, clockwise from its western cape.
constexpr std::array main_island = {
    Corner{4030, -17130}, Corner{4062, -17122}, Corner{4092, -17094}, Corner{4120, -17052},
    Corner{4158, -17015}, Corner{4178, -16962}, Corner{4164, -16890}, Corner{4162, -16820},
    Corner{4124, -16765}, Corner{4102, -16718}, Corner{4078, -16696}, Corner{4048, -16714},
    Corner{4020, -16770}, Corner{4005, -16840}, Corner{3988, -16900}, Corner{3990, -16960},
    Corner{3978, -17005}, Corner{3964, -17055}, Corner{4002, -17105},
};
constexpr std::array north_island = {
    Corner{4234, -16962}, Corner{4246, -16950}, Corner{4254, -16924}, Corner{4242, -16908},
    Corner{4224, -16912}, Corner{4222, -16940}, Corner{4228, -16958},
};
constexpr std::array south_island = {
    Corner{3868, -16986}, Corner{3878, -16968}, Corner{3874, -16950},
    Corner{3862, -16954}, Corner{3852, -16972}, Corner{3856, -16986},
};
constexpr std::array east_island = {
    Corner{4118, -16610}, Corner{4138, -16612}, Corner{4144, -16592},
    Corner{4130, -16576}, Corner{4116, -16586},
};
constexpr std::array west_island = {
    Corner{3930, -17208}, Corner{3944, -17200}, Corner{3940, -17180},
    Corner{3926, -17178}, Corner{3918, -17194},
};

constexpr std::array north_west_island = {
    Corner{4188, -17162}, Corner{4200, -17158}, Corner{4204, -17142},
    Corner{4196, -17134}, Corner{4186, -17144},
};
constexpr std::array south_east_island = {
    Corner{3922, -16740}, Corner{3934, -16744}, Corner{3940, -16730},
    Corner{3932, -16716}, Corner{3920, -16722},
};

constexpr std::array all_islands = {
    Island{"Great Xaravel", main_island}, Island{"Xenora", north_island}, Island{"Xusulo", south_island},
    Island{"Xapiren", east_island},       Island{"Xagilla", west_island}, Island{"Xurlin", north_west_island},
    Island{"Xomber", south_east_island},
};

constexpr std::array all_mountains = {
    // The Xaldur range, from the north-north-west to the south-south-east of the main island.
    Mountain{"North shoulder", 4145, -16980, 5200, 0.5, 14.0},
    Mountain{"Mount Xevrin", 4125, -16962, 6600, 0.5, 14.0},
    Mountain{"Mount Xaldur", 4102, -16942, 7900, 0.3, 15.0},
    Mountain{"Mount Xobelar", 4080, -16938, 7100, 0.5, 13.0},
    Mountain{"Mount Xutheen", 4058, -16925, 6300, 0.5, 13.0},
    Mountain{"South shoulder", 4036, -16914, 4900, 0.5, 12.0},
    Mountain{"Xorigan ridge", 4105, -16915, 6850, 0.2, 10.0},
    // Foothills of the windward side.
    Mountain{"Xamber hills", 4075, -16985, 3800, 2.0, 16.0},
    Mountain{"Xolt hills", 4045, -17000, 2600, 2.0, 14.0},
    Mountain{"Xeddow hills", 4110, -17020, 2900, 2.0, 14.0},
    Mountain{"Xatalin head", 4086, -17092, 1150, 0.5, 7.0},
    Mountain{"Xamarra downs", 4052, -17062, 1500, 1.0, 9.0},
    // The eastern basin and the hills about it.
    Mountain{"Xekellin basin", 4050, -16878, 2440, 12.0, 26.0},
    Mountain{"Xekellin hill", 4048, -16867, 3880, 0.2, 5.0},
    Mountain{"Xumarl hills", 4098, -16850, 4200, 1.0, 16.0},
    Mountain{"Xebbin hills", 4122, -16832, 3300, 1.0, 13.0},
    Mountain{"Xadrow hills", 4026, -16838, 3600, 1.0, 10.0},
    Mountain{"Xorrel downs", 4076, -16772, 1900, 2.0, 13.0},
    Mountain{"Xinnick downs", 4042, -16775, 2200, 2.0, 13.0},
    // The south-western cape and the outer islands.
    Mountain{"Xubenna hill", 4149, -16804, 745, 0.2, 1.7},
    Mountain{"Xolvane head", 3974, -17055, 620, 0.5, 6.0},
    Mountain{"Mount Xennet", 4246, -16925, 2300, 0.2, 5.0},
    Mountain{"Mount Xusk", 3861, -16976, 1750, 0.2, 4.5},
    Mountain{"Mount Xapra", 4136, -16600, 2950, 0.2, 5.5},
    Mountain{"Xagilla hill", 3927, -17194, 1420, 0.2, 4.0},
    Mountain{"Xurlin hill", 4200, -17145, 620, 0.2, 2.5},
    Mountain{"Mount Xomb", 3937, -16733, 840, 0.2, 3.0},
};

constexpr std::array all_ridges = {
    // The spine of the Xaldur range.
    Ridge{4145, -16980, 4125, -16962, 4300, 9.0},
    Ridge{4125, -16962, 4102, -16942, 5400, 10.0},
    Ridge{4102, -16942, 4080, -16938, 5900, 10.0},
    Ridge{4080, -16938, 4058, -16925, 5200, 10.0},
    Ridge{4058, -16925, 4036, -16914, 4200, 9.0},
    Ridge{4102, -16942, 4105, -16915, 5300, 7.0},
    Ridge{4036, -16914, 4018, -16895, 2300, 8.0},
    Ridge{4145, -16980, 4162, -16990, 2600, 8.0},
    // Windward foothills, one after the other.
    Ridge{4110, -17020, 4075, -16985, 2300, 10.0},
    Ridge{4075, -16985, 4045, -17000, 2200, 9.0},
    Ridge{4045, -17000, 4018, -16990, 1300, 9.0},
    Ridge{4075, -16985, 4080, -16938, 3000, 9.0},
    Ridge{4086, -17092, 4105, -17060, 800, 6.0},
    Ridge{4052, -17062, 4045, -17000, 900, 8.0},
    // The rim of the basin, and the eastern downs.
    Ridge{4098, -16850, 4122, -16832, 2900, 9.0},
    Ridge{4098, -16850, 4075, -16880, 2900, 9.0},
    Ridge{4026, -16838, 4018, -16895, 2200, 8.0},
    Ridge{4076, -16772, 4042, -16775, 1500, 9.0},
    Ridge{4090, -16784, 4076, -16772, 1400, 6.0},
};

Place middle(const Mountain& mountain) {
    return Place::degrees(mountain.north / 100.0, mountain.east / 100.0);
}

bool inside(const Island& island, Place place) {
    const double north = place.latitude_deg() * 100.0;
    const double east = place.longitude_deg() * 100.0;
    bool within = false;
    const std::size_t count = island.outline.size();
    for (std::size_t i = 0, j = count - 1; i < count; j = i++) {
        const Corner& a = island.outline[i];
        const Corner& b = island.outline[j];
        if ((a.north > north) != (b.north > north) &&
            east < (b.east - a.east) * (north - a.north) / (b.north - a.north) + a.east) {
            within = !within;
        }
    }
    return within;
}

template <class Visit>
void over_cell(int south_deg, int west_deg, Visit visit) {
    constexpr int steps = 20;
    for (int i = 0; i <= steps; ++i) {
        for (int j = 0; j <= steps; ++j) {
            visit(Place::degrees(south_deg + static_cast<double>(i) / steps,
                                 west_deg + static_cast<double>(j) / steps));
        }
    }
}

}  // namespace

std::span<const Island> islands() {
    return all_islands;
}

std::span<const Mountain> mountains() {
    return all_mountains;
}

std::span<const Ridge> ridges() {
    return all_ridges;
}

bool on_land(Place place) {
    return std::any_of(all_islands.begin(), all_islands.end(),
                       [&](const Island& island) { return inside(island, place); });
}

double ground_ft(Place place) {
    if (!on_land(place)) {
        return 0.0;
    }
    double highest = coast_ft;
    for (const Mountain& mountain : all_mountains) {
        // A minute of latitude is never under 0.99 NM: most mountains are too far north or south to need a geodesic.
        if (std::abs(place.latitude_deg() - mountain.north / 100.0) * 60.0 * 0.99 > mountain.foot_nm) {
            continue;
        }
        const double away_nm = between(middle(mountain), place).distance_nm;
        const double slope = (mountain.foot_nm - away_nm) / (mountain.foot_nm - mountain.flat_nm);
        highest = std::max(highest, mountain.top_ft * std::clamp(slope, 0.0, 1.0));
    }
    return highest;
}

double highest_ground_ft(int south_deg, int west_deg) {
    double highest = 0.0;
    over_cell(south_deg, west_deg, [&](Place place) { highest = std::max(highest, ground_ft(place)); });
    // A summit may stand between the points looked at.
    for (const Mountain& mountain : all_mountains) {
        if (std::floor(mountain.north / 100.0) == south_deg &&
            std::floor(mountain.east / 100.0) == west_deg) {
            highest = std::max(highest, static_cast<double>(mountain.top_ft));
        }
    }
    return highest;
}

GridMinimum grid_minimum(int south_deg, int west_deg) {
    const double ground = highest_ground_ft(south_deg, west_deg);
    const long above = ground > 5000.0 ? 2000 : 1000;
    return {static_cast<long>(std::ceil((ground + static_cast<double>(above)) / 100.0)) * 100, above};
}

bool land_near(int south_deg, int west_deg, double distance_nm) {
    bool near = false;
    for (const Island& island : all_islands) {
        for (const Corner& corner : island.outline) {
            const double north = std::clamp(corner.north / 100.0, south_deg + 0.0, south_deg + 1.0);
            const double east = std::clamp(corner.east / 100.0, west_deg + 0.0, west_deg + 1.0);
            const Place nearest = Place::degrees(north, east);
            near = near ||
                   between(nearest, Place::degrees(corner.north / 100.0, corner.east / 100.0)).distance_nm <=
                       distance_nm;
        }
    }
    return near;
}

int variation_tenths(Place place) {
    // 7.5 degrees east at 40.5 N, 169 W; 0.3 more for each degree east, 0.09 less for each degree north.
    return static_cast<int>(
        tenths(7.5 + 0.30 * (place.longitude_deg() + 169.0) - 0.09 * (place.latitude_deg() - 40.5)));
}

}  // namespace omniway::demo_region
