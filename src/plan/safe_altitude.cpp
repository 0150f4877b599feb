#include "plan/safe_altitude.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/squared_region.hpp"
#include "flight/region_minimum.hpp"
#include "plan/wording.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Angle;
using base::Length;

namespace {

constexpr Length least_clearance = Length::feet(1000.0);
constexpr Length usual_square = Length::nautical_miles(0.25);
constexpr double squares_across = 800.0;
// A sector altitude farther from the region than that is none of it: their circles are 99 NM at most.
constexpr Length farthest_sector = Length::nautical_miles(200.0);

// From an angle clockwise so far on, in degrees.
struct Arc {
    double from = 0.0;
    double width = 0.0;
};
double clockwise(double from, double to) {
    const double turned = std::fmod(to - from, 360.0);
    return turned < 0.0 ? turned + 360.0 : turned;
}
bool overlap(const Arc& a, const Arc& b) {
    return clockwise(a.from, b.from) <= a.width || clockwise(b.from, a.from) <= b.width;
}

// All of an arc lies in some of the others. Where one ends and the next begins, rounding leaves no hole.
bool is_covered(const Arc& arc, const std::vector<Arc>& by) {
    constexpr double rounding_deg = 1e-6;
    double done = 0.0;
    while (done < arc.width) {
        double reach = done;
        for (const Arc& each : by) {
            const double into = clockwise(each.from - rounding_deg, arc.from + done);
            if (each.width >= 360.0) {
                return true;
            }
            if (into <= each.width + 2.0 * rounding_deg) {
                reach = std::max(reach, done + each.width + 2.0 * rounding_deg - into);
            }
        }
        if (reach < done + rounding_deg / 2.0) {
            return false;
        }
        done = reach;
    }
    return true;
}

struct RegionSeen {
    Length nearest;
    Length farthest;
    std::vector<Arc> bearings;  // magnetic, to the centre
};

// One minimum sector altitude over a region.
class OfSectors {
public:
    OfSectors(const navdata::Snapshot& world, const earth::MagneticModel& model, earth::DecimalYear today,
              const navdata::MinimumSectorAltitude& published)
        : world_(world), published_(published) {
        if (const auto point = world.resolve(published.centre)) {
            centre_ = world.position(*point);
            const auto* station = std::get_if<navdata::StationId>(&*point);
            const auto* azimuth = station != nullptr ? navdata::vor(world[*station]) : nullptr;
            east_deg_ = azimuth != nullptr ? azimuth->declination.east().degrees()
                                           : model.variation(*centre_, today).east().degrees();
        }
    }

    struct Found {
        SafeCandidate candidate;
        Length beyond;  // its circle the region reaches; zero: not at all
    };
    // None where the region lies quite outside.
    std::optional<Found> over(const std::vector<std::vector<earth::Position>>& rings) const {
        if (!centre_ || earth::distance(*centre_, rings.front().front()) > farthest_sector) {
            return std::nullopt;
        }
        const RegionSeen seen = look(rings);
        Length widest;
        for (const navdata::SafeSector& sector : published_.sectors) {
            widest = std::max(widest, sector.radius);
        }
        return seen.nearest > widest ? std::nullopt : std::optional(judge(seen, widest));
    }

private:
    RegionSeen look(const std::vector<std::vector<earth::Position>>& rings) const {
        constexpr Length at_the_centre = Length::nautical_miles(0.5);
        RegionSeen seen{Length::nautical_miles(1e6), Length(), {}};
        for (const auto& ring : rings) {
            double turned = 0.0;
            double least = 0.0;
            double most = 0.0;
            double before = 0.0;
            double first = 0.0;
            for (std::size_t i = 0; i <= ring.size(); ++i) {
                const earth::Geodesic line = earth::geodesic(*centre_, ring[i % ring.size()]);
                seen.nearest = std::min(seen.nearest, line.distance);
                seen.farthest = std::max(seen.farthest, line.distance);
                const double now = line.initial.degrees();
                if (i == 0) {
                    first = now;
                } else {
                    turned += std::remainder(now - before, 360.0);
                }
                least = std::min(least, turned);
                most = std::max(most, turned);
                before = now;
            }
            const bool goes_round = std::abs(turned) > 180.0;
            seen.bearings.push_back(goes_round ? Arc{0.0, 360.0}
                                               : Arc{first + least + 180.0 - east_deg_, most - least});
        }
        if (seen.nearest < at_the_centre) {
            seen.bearings = {{0.0, 360.0}};
        }
        return seen;
    }

    Found judge(const RegionSeen& seen, Length widest) const {
        constexpr double wider_deg = 3.0;
        Found found;
        found.candidate.by = SafeBy::sector;
        std::vector<Arc> wide_enough;
        std::string sectors;
        for (const navdata::SafeSector& sector : published_.sectors) {
            const double width = clockwise(sector.from.degrees(), sector.to.degrees());
            const Arc arc{sector.from.degrees(), width == 0.0 ? 360.0 : width};
            if (sector.radius >= seen.farthest) {
                wide_enough.push_back(arc);
            }
            const Arc wider{arc.from - wider_deg, std::min(360.0, arc.width + 2.0 * wider_deg)};
            if (std::any_of(seen.bearings.begin(), seen.bearings.end(),
                            [&](const Arc& each) { return overlap(each, wider); })) {
                auto& highest = found.candidate.altitude;
                highest = highest ? std::max(*highest, sector.altitude) : sector.altitude;
                sectors += fmt::format("{}{}-{} {:.0f} ft", sectors.empty() ? "" : ", ",
                                       three_figures(sector.from.degrees()),
                                       three_figures(sector.to.degrees()), sector.altitude.feet());
            }
        }
        const std::string name = fmt::format("MSA {} of {}", published_.centre.ident, published_.airport);
        found.beyond = std::max(Length(), seen.farthest - widest);
        if (found.beyond > Length()) {
            found.candidate.altitude.reset();
            found.candidate.says =
                fmt::format("{}: the region reaches {:.1f} NM from {}, and it counts within {:.0f} NM", name,
                            seen.farthest.nautical_miles(), published_.centre.ident, widest.nautical_miles());
        } else if (!std::all_of(seen.bearings.begin(), seen.bearings.end(),
                                [&](const Arc& each) { return is_covered(each, wide_enough); })) {
            found.candidate.altitude.reset();
            found.candidate.says = name + ": part of the region lies in none of its sectors";
        } else {
            found.candidate.covers = true;
            found.candidate.says =
                fmt::format("{}: {:.0f} ft within {:.0f} NM (bearings to it {})", name,
                            found.candidate.altitude->feet(), widest.nautical_miles(), sectors);
        }
        return found;
    }

    const navdata::Snapshot& world_;
    const navdata::MinimumSectorAltitude& published_;
    std::optional<earth::Position> centre_;
    double east_deg_ = 0.0;  // of true north the one that its bearings count from
};

std::string cell_name(int south_deg, int west_deg) {
    return fmt::format("{}{:02d}{}{:03d}", south_deg < 0 ? 'S' : 'N', std::abs(south_deg),
                       west_deg < 0 ? 'W' : 'E', std::abs(west_deg));
}

class Search {
public:
    Search(const navdata::Snapshot& world, const earth::Terrain* terrain, const RegionAsked& region)
        : world_(world),
          terrain_(terrain),
          rings_(region.rings),
          squares_(earth::squared(
              region.frame, region.rings,
              std::max(usual_square, earth::extent_of(region.frame, region.rings) / squares_across))) {}

    // The lowest that covers; else the one whose circle the region leaves by the least.
    SafeCandidate by_sector(const earth::MagneticModel& model, earth::DecimalYear today) const {
        std::optional<OfSectors::Found> best;
        for (const navdata::MinimumSectorAltitude& published : world_.sector_altitudes()) {
            auto found = OfSectors(world_, model, today, published).over(rings_);
            if (found && (!best || is_better(*found, *best))) {
                best = std::move(found);
            }
        }
        return best ? std::move(best->candidate)
                    : SafeCandidate{SafeBy::sector, std::nullopt, false,
                                    "no MSA is published about a point near there"};
    }

    SafeCandidate by_grid() const {
        // Squares have neighbours all round what they stand for: one corner of each is enough.
        std::map<std::pair<int, int>, std::optional<Altitude>> cells;
        for (const earth::PlaneSquare& square : squares_.squares) {
            const earth::Position corner = squares_.frame.to_position(squares_.corner(square));
            const auto [cell, is_new] =
                cells.try_emplace({static_cast<int>(std::floor(corner.latitude_deg())),
                                   static_cast<int>(std::floor(corner.longitude_deg()))});
            if (is_new) {
                cell->second = world_.grid_minimum(corner);
            }
        }
        SafeCandidate found{SafeBy::grid, std::nullopt, false, ""};
        std::string missing;
        std::string highest;
        for (const auto& [cell, minimum] : cells) {
            const std::string name = cell_name(cell.first, cell.second);
            if (!minimum) {
                missing += (missing.empty() ? "" : ", ") + name;
            } else if (!found.altitude || *minimum > *found.altitude) {
                found.altitude = minimum;
                highest = name;
            }
        }
        found.covers = missing.empty() && found.altitude.has_value();
        if (found.altitude) {
            found.says = fmt::format("grid MORA: {:.0f} ft in {}", found.altitude->feet(), highest);
            found.says += cells.size() > 1 ? fmt::format(", the highest of {} cells", cells.size()) : "";
        }
        if (!missing.empty()) {
            found.says += fmt::format("{}grid MORA unknown in {}", found.altitude ? "; " : "", missing);
        }
        return found;
    }

    SafeCandidate by_ground(Length allowance) {
        SafeCandidate found{SafeBy::ground, std::nullopt, false, ""};
        if (terrain_ == nullptr || terrain_->empty()) {
            found.says = "no terrain is in the atlas";
            return found;
        }
        const flight::RegionAsks asks = flight::region_minimum(*terrain_, squares_, allowance);
        highest_ground_ = asks.highest;
        found.ground = asks.most;
        found.covers = asks.most && asks.unknown == 0.0;
        if (asks.most) {
            found.altitude = asks.most->altitude;
            found.says = fmt::format("ground {:.0f} ft + {:.0f} + {:.0f}: {:.0f} ft",
                                     asks.most->ground.feet(), asks.most->allowance.feet(),
                                     asks.most->clearance.feet(), asks.most->altitude.feet());
        }
        if (asks.unknown > 0.0) {
            found.says += fmt::format("{}the ground of {:.0f} % of the region is not known",
                                      asks.most ? "; " : "", std::max(1.0, 100.0 * asks.unknown));
        }
        return found;
    }

    // What is published does not stand lower than it promises to.
    void hold_against_the_ground(SafeCandidate& published) const {
        if (published.covers && highest_ground_ && *published.altitude < *highest_ground_ + least_clearance) {
            published.covers = false;
            published.says +=
                fmt::format("; not taken: the ground there rises to {:.0f} ft", highest_ground_->feet());
        }
    }

private:
    static bool is_better(const OfSectors::Found& a, const OfSectors::Found& b) {
        if (a.candidate.covers != b.candidate.covers) {
            return a.candidate.covers;
        }
        return a.candidate.covers ? *a.candidate.altitude < *b.candidate.altitude : a.beyond < b.beyond;
    }

    const navdata::Snapshot& world_;
    const earth::Terrain* terrain_;
    const std::vector<std::vector<earth::Position>>& rings_;
    earth::SquaredRegion squares_;
    std::optional<Altitude> highest_ground_;
};

void choose(SafeAltitude& safe, Altitude present) {
    for (const SafeCandidate& each : safe.looked_at) {
        if (each.covers && (!safe.altitude || *each.altitude < *safe.altitude)) {
            safe.by = each.by;
            safe.altitude = each.altitude;
        }
    }
    if (!safe.altitude) {
        for (const SafeCandidate& each : safe.looked_at) {
            if (each.altitude && (!safe.at_least || *each.altitude > *safe.at_least)) {
                safe.at_least = each.altitude;
            }
        }
    }
    if (const auto& known = safe.altitude ? safe.altitude : safe.at_least) {
        safe.above = present - *known;
    }
}

}  // namespace

const SafeCandidate* SafeAltitude::taken() const {
    const auto found = std::find_if(looked_at.begin(), looked_at.end(), [&](const SafeCandidate& each) {
        return by && each.by == *by && each.covers;
    });
    return found == looked_at.end() ? nullptr : &*found;
}

SafeAltitude safe_altitude(const navdata::Snapshot& world, const earth::Terrain* terrain,
                           const earth::MagneticModel& model, earth::DecimalYear today,
                           const RegionAsked& region, Altitude present, Length allowance) {
    SafeAltitude safe;
    if (region.rings.empty()) {
        return safe;
    }
    Search search(world, terrain, region);
    SafeCandidate ground = search.by_ground(allowance);
    safe.looked_at = {search.by_sector(model, today), search.by_grid(), std::move(ground)};
    for (SafeCandidate& each : safe.looked_at) {
        if (each.by != SafeBy::ground) {
            search.hold_against_the_ground(each);
        }
    }
    choose(safe, present);
    return safe;
}

}  // namespace omniway::plan
