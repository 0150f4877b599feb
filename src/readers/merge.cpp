#include "readers/merge.hpp"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <functional>
#include <iterator>
#include <limits>
#include <optional>
#include <set>
#include <tuple>
#include <type_traits>
#include <unordered_map>
#include <utility>

#include <fmt/format.h>
#include <boost/functional/hash.hpp>

#include "earth/geodesic.hpp"
#include "readers/runway_ends.hpp"

namespace omniway::readers {

namespace {

using base::Angle;
using base::Frequency;
using base::Length;
using navdata::Origin;
using navdata::Records;
using navdata::Runway;
using navdata::Station;

constexpr Length same_place = Length::nautical_miles(3.0);
constexpr Frequency half_vhf_channel = Frequency::kilohertz(25.0);
constexpr Frequency half_ndb_channel = Frequency::kilohertz(0.5);
constexpr Length same_threshold = Length::feet(1000.0);
// A runway is renumbered when the variation has carried it over a ten of degrees: its direction stays.
constexpr Angle same_direction = Angle::degrees(5.0);
constexpr double same_length_share = 0.02;

template <class Visit>
void for_each_origin(Records& records, Visit visit) {
    const auto several = [&](auto& things) {
        for (auto& thing : things) {
            std::for_each(thing.origins.begin(), thing.origins.end(), visit);
        }
    };
    const auto single = [&](auto& things) {
        for (auto& thing : things) {
            visit(thing.origin);
        }
    };
    several(records.stations);
    several(records.airports);
    single(records.fixes);
    single(records.airway_rows);
    single(records.runways);
    single(records.communications);
    single(records.markers);
    single(records.sector_altitudes);
    single(records.grid_minimums);
    for (navdata::Procedure& procedure : records.procedures) {
        for (navdata::Branch& branch : procedure.branches) {
            single(branch.legs);
        }
    }
}

bool is_arinc(const Records& records) {
    return !records.sources.empty() && records.sources.front().format.starts_with("ARINC");
}

double date_of(const Records& records) {
    double latest = 0.0;
    for (const navdata::Source& source : records.sources) {
        latest = std::max(latest, source.reference_year);
    }
    return latest;
}

bool is_lone_dme(const Station& station) {
    return std::holds_alternative<std::monostate>(station.azimuth);
}

bool kinds_can_be_one(const Station& a, const Station& b) {
    const bool any_ndb = ndb(a) != nullptr || ndb(b) != nullptr;
    if (any_ndb) {
        return ndb(a) != nullptr && ndb(b) != nullptr;
    }
    const bool a_localizer = localizer(a) != nullptr;
    const bool b_localizer = localizer(b) != nullptr;
    if (a_localizer != b_localizer) {
        return is_lone_dme(a_localizer ? b : a);
    }
    return true;
}

/// Whether two places are so far apart that no geodesic is needed to tell: a degree or more where same_place is a twentieth.
bool plainly_apart(const earth::Position& a, const earth::Position& b) {
    const double north_deg = std::abs(a.latitude_deg() - b.latitude_deg());
    const double east_deg = std::abs(a.longitude_deg() - b.longitude_deg());
    const double highest_deg = std::max(std::abs(a.latitude_deg()), std::abs(b.latitude_deg()));
    // Up to 80 degrees north or south a degree of longitude is more than 10 NM.
    return north_deg > 1.0 || (highest_deg < 80.0 && east_deg > 1.0 && east_deg < 359.0);
}

bool sites_within(const Station& a, const Station& b, Length limit) {
    const auto near = [limit](const earth::Position& one, const earth::Position& other) {
        return !plainly_apart(one, other) && earth::distance(one, other) <= limit;
    };
    const earth::Position site_a = site(a);
    const earth::Position site_b = site(b);
    return near(site_a, site_b) || (a.dme && near(a.dme->position, site_b)) ||
           (b.dme && near(site_a, b.dme->position)) ||
           (a.dme && b.dme && near(a.dme->position, b.dme->position));
}

bool same_aid(const Station& a, const Station& b) {
    if (a.ident != b.ident || !kinds_can_be_one(a, b)) {
        return false;
    }
    const Frequency limit = ndb(a) != nullptr ? half_ndb_channel : half_vhf_channel;
    return abs(a.frequency - b.frequency) < limit && sites_within(a, b, same_place);
}

/// The key under which one publication names an aid: a later cycle may have moved or retuned it.
bool same_key(const Station& a, const Station& b) {
    const auto group = [](const Station& station) {
        return ndb(station) != nullptr ? 0 : (localizer(station) != nullptr ? 1 : 2);
    };
    return a.ident == b.ident && a.region == b.region && a.airport == b.airport && group(a) == group(b);
}

std::string name_of(const Station& station) {
    return kind_text(station) + ' ' + station.ident;
}

int number_of(const std::string& runway) {
    return runway.size() >= 4 ? std::atoi(runway.substr(2, 2).c_str()) : 0;
}

std::string side_of(const std::string& runway) {
    return runway.size() > 4 ? runway.substr(4) : std::string();
}

bool one_apart(int a, int b) {
    const int difference = std::abs(a - b);
    return difference == 1 || difference == 35;
}

/// Where things of one name stand in a vector: names are hashed, and the caller compares what has the same hash. Open addressing,
/// because a node for each of some hundred thousand names is what merging would mostly spend its time on.
class NameIndex {
public:
    void add(std::size_t hash, std::size_t place) {
        entries_.push_back({hash, place});
        if (entries_.size() * 2 > slots_.size()) {
            slots_.assign(std::max(slots_.size() * 4, std::size_t{64}), free_slot);
            for (std::size_t entry = 0; entry < entries_.size(); ++entry) {
                put(entry);
            }
        } else {
            put(entries_.size() - 1);
        }
    }
    /// The first one added that matches.
    template <class Matches>
    std::optional<std::size_t> find(std::size_t hash, Matches matches) const {
        if (slots_.empty()) {
            return std::nullopt;
        }
        for (std::size_t slot = slot_of(hash); slots_[slot] != free_slot; slot = next(slot)) {
            const Entry& entry = entries_[slots_[slot]];
            if (entry.hash == hash && matches(entry.place)) {
                return entry.place;
            }
        }
        return std::nullopt;
    }

private:
    struct Entry {
        std::size_t hash;
        std::size_t place;
    };
    static constexpr std::size_t free_slot = std::numeric_limits<std::size_t>::max();

    std::size_t slot_of(std::size_t hash) const { return hash & (slots_.size() - 1); }  // a power of two
    std::size_t next(std::size_t slot) const { return (slot + 1) & (slots_.size() - 1); }
    void put(std::size_t entry) {
        std::size_t slot = slot_of(entries_[entry].hash);
        while (slots_[slot] != free_slot) {
            slot = next(slot);
        }
        slots_[slot] = entry;
    }

    std::vector<Entry> entries_;      // as they were added
    std::vector<std::size_t> slots_;  // of places among the entries
};

template <class... Words>
std::size_t hash_of(const Words&... words) {
    std::size_t seed = 0;
    (boost::hash_combine(seed, std::hash<Words>()(words)), ...);
    return seed;
}

// By what each kind of thing is named in a publication.
std::size_t name_hash(const Station& station) {
    return hash_of(station.ident, ndb(station) != nullptr);
}
std::size_t name_hash(const navdata::Airport& airport) {
    return hash_of(airport.ident);
}
std::size_t name_hash(const navdata::Fix& fix) {
    return hash_of(fix.ident, fix.region, fix.airport);
}
bool same_name(const navdata::Fix& a, const navdata::Fix& b) {
    return a.ident == b.ident && a.region == b.region && a.airport == b.airport;
}
std::string name_of(const navdata::Fix& fix) {
    return "fix " + fix.ident + (fix.airport.empty() ? std::string() : " of " + fix.airport);
}
std::size_t name_hash(const navdata::Communication& communication) {
    return hash_of(communication.airport, communication.type, communication.frequency.kilohertz());
}
bool same_name(const navdata::Communication& a, const navdata::Communication& b) {
    return a.airport == b.airport && a.type == b.type && a.frequency == b.frequency;
}
std::string name_of(const navdata::Communication& communication) {
    return fmt::format("{} {:.3f} MHz of {}", communication.type, communication.frequency.megahertz(),
                       communication.airport);
}
std::size_t name_hash(const navdata::Marker& marker) {
    return hash_of(marker.airport, marker.localizer, static_cast<int>(marker.kind));
}
bool same_name(const navdata::Marker& a, const navdata::Marker& b) {
    return a.airport == b.airport && a.localizer == b.localizer && a.kind == b.kind;
}
std::string name_of(const navdata::Marker& marker) {
    return fmt::format("{} of {} of {}", navdata::name_of(marker.kind), marker.localizer, marker.airport);
}
std::size_t name_hash(const navdata::MinimumSectorAltitude& msa) {
    return hash_of(msa.airport, msa.centre.ident, msa.centre.region);
}
bool same_name(const navdata::MinimumSectorAltitude& a, const navdata::MinimumSectorAltitude& b) {
    return a.airport == b.airport && a.centre == b.centre;
}
std::string name_of(const navdata::MinimumSectorAltitude& msa) {
    return fmt::format("minimum sector altitude {} of {}", msa.centre.ident, msa.airport);
}
std::size_t name_hash(const navdata::GridMinimum& cell) {
    return hash_of(cell.south_deg, cell.west_deg);
}
bool same_name(const navdata::GridMinimum& a, const navdata::GridMinimum& b) {
    return a.south_deg == b.south_deg && a.west_deg == b.west_deg;
}
std::string name_of(const navdata::GridMinimum& cell) {
    return fmt::format("grid minimum {} {}", cell.south_deg, cell.west_deg);
}
std::size_t name_hash(const navdata::AirwayRow& row) {
    return hash_of(row.area, row.designator);
}
std::size_t name_hash(const navdata::Procedure& procedure) {
    return hash_of(procedure.airport, static_cast<int>(procedure.kind), procedure.ident);
}

/// Makes room for what all readings have, so that nothing is moved twice.
void reserve_for(Records& records, const std::vector<Records>& all) {
    const auto reserve = [&](auto list) {
        std::size_t number = 0;
        for (const Records& one : all) {
            number += (one.*list).size();
        }
        (records.*list).reserve((records.*list).size() + number);
    };
    reserve(&Records::stations);
    reserve(&Records::airports);
    reserve(&Records::runways);
    reserve(&Records::communications);
    reserve(&Records::markers);
    reserve(&Records::fixes);
    reserve(&Records::airway_rows);
    reserve(&Records::procedures);
    reserve(&Records::sector_altitudes);
    reserve(&Records::grid_minimums);
}

class Merger {
public:
    explicit Merger(Records strongest) : merged_(std::move(strongest)), merged_is_arinc_(is_arinc(merged_)) {
        index(merged_.stations, stations_, 0);
        index(merged_.airports, airports_, 0);
        index(merged_.fixes, fixes_, 0);
        index(merged_.communications, communications_, 0);
        index(merged_.markers, markers_, 0);
        index(merged_.sector_altitudes, sector_altitudes_, 0);
        index(merged_.grid_minimums, grid_minimums_, 0);
        index_airways(0);
        index_procedures(0);
        index_runways(0);
    }

    void add(Records next) {
        const bool both_arinc = merged_is_arinc_ && is_arinc(next);
        const auto shift = static_cast<std::uint32_t>(merged_.sources.size());
        for_each_origin(next, [shift](Origin& origin) { origin.source.index += shift; });
        std::move(next.sources.begin(), next.sources.end(), std::back_inserter(merged_.sources));
        foreign_airports_.clear();
        add_stations(next.stations, both_arinc);
        add_airports(next.airports, both_arinc);
        add_runways(next.runways, both_arinc);
        add_by_name(merged_.communications, next.communications, communications_);
        add_by_name(merged_.markers, next.markers, markers_);
        add_by_name(merged_.fixes, next.fixes, fixes_);
        add_airways(next.airway_rows);
        add_procedures(next.procedures);
        add_by_name(merged_.sector_altitudes, next.sector_altitudes, sector_altitudes_);
        add_by_name(merged_.grid_minimums, next.grid_minimums, grid_minimums_);
    }

    Merged finish() {
        fill_far_ends(merged_.runways);
        std::stable_sort(merged_.airway_rows.begin(), merged_.airway_rows.end(),
                         [](const navdata::AirwayRow& a, const navdata::AirwayRow& b) {
                             return std::tie(a.area, a.designator, a.sequence) <
                                    std::tie(b.area, b.designator, b.sequence);
                         });
        return {std::move(merged_), std::move(choices_)};
    }

private:
    std::string place(const Origin& origin) const {
        return fmt::format("{}:{}", merged_.sources[origin.source.index].file, origin.line);
    }

    void choose(std::string what, const Origin& chosen, const Origin& dropped, std::string why) {
        choices_.push_back({std::move(what), place(chosen), place(dropped), std::move(why)});
    }

    static std::string stronger(bool both_arinc) {
        return both_arinc ? "the newer cycle stands as a whole" : "the ARINC record stands as a whole";
    }

    template <class Thing>
    static void index(const std::vector<Thing>& things, NameIndex& names, std::size_t from) {
        for (std::size_t i = from; i < things.size(); ++i) {
            names.add(name_hash(things[i]), i);
        }
    }

    void add_stations(std::vector<Station>& next, bool both_arinc) {
        // Two aids of one source are two, so only what was there before is compared with.
        const std::size_t known = merged_.stations.size();
        for (Station& station : next) {
            const auto match = stations_.find(name_hash(station), [&](std::size_t i) {
                const Station& candidate = merged_.stations[i];
                return (both_arinc && same_key(candidate, station)) || same_aid(candidate, station);
            });
            if (match) {
                unite(merged_.stations[*match], station, both_arinc);
            } else {
                merged_.stations.push_back(std::move(station));
            }
        }
        index(merged_.stations, stations_, known);
    }

    void unite(Station& known, Station& station, bool both_arinc) {
        std::string why = merged_is_arinc_ ? stronger(both_arinc) : "the first one given stands";
        if (name_of(known) != name_of(station)) {
            why += fmt::format("; the other has a {}", kind_text(station));
        }
        if (is_lone_dme(known) && localizer(station) != nullptr) {
            // A part of a publication may hold the DME of a localizer and not the localizer.
            choose(name_of(station), known.origins.front(), station.origins.front(),
                   "only the other has the localizer, so its course is joined to this distance");
            station.dme = known.dme;
            station.origins.insert(station.origins.begin(), known.origins.begin(), known.origins.end());
            known = std::move(station);
            return;
        }
        if (localizer(known) != nullptr && !known.dme && is_lone_dme(station)) {
            choose(name_of(known), known.origins.front(), station.origins.front(),
                   "only the other has the distance part, so it is joined to this course");
            known.dme = station.dme;
        } else {
            choose(name_of(known), known.origins.front(), station.origins.front(), std::move(why));
        }
        known.origins.insert(known.origins.end(), station.origins.begin(), station.origins.end());
    }

    void add_airports(std::vector<navdata::Airport>& next, bool both_arinc) {
        for (navdata::Airport& airport : next) {
            const auto found = airports_.find(name_hash(airport), [&](std::size_t i) {
                return merged_.airports[i].ident == airport.ident;
            });
            if (!found) {
                merged_.airports.push_back(std::move(airport));
                index(merged_.airports, airports_, merged_.airports.size() - 1);
                continue;
            }
            navdata::Airport& known = merged_.airports[*found];
            const Length apart = earth::distance(known.position, airport.position);
            if (apart > same_place && !both_arinc) {
                foreign_airports_.insert(airport.ident);
                choose(
                    "airport " + known.ident, known.origins.front(), airport.origins.front(),
                    fmt::format(
                        "they are {:.0f} NM apart, and runways and procedures know an airport by its ident "
                        "alone; the other is left out with its runways and frequencies",
                        apart.nautical_miles()));
                continue;
            }
            std::string filled;
            const auto fill = [&](auto& empty, const auto& value, std::string_view what) {
                if (!empty && value) {
                    empty = value;
                    filled += fmt::format("{}{}", filled.empty() ? "" : ", ", what);
                }
            };
            fill(known.elevation, airport.elevation, "elevation");
            fill(known.variation, airport.variation, "variation");
            if (known.name.empty() && !airport.name.empty()) {
                known.name = airport.name;
                filled += filled.empty() ? "name" : ", name";
            }
            choose("airport " + known.ident, known.origins.front(), airport.origins.front(),
                   (merged_is_arinc_ ? stronger(both_arinc) : std::string("the first one given stands")) +
                       (filled.empty() ? "" : "; filled from the other: " + filled));
            known.origins.insert(known.origins.end(), airport.origins.begin(), airport.origins.end());
        }
    }

    void add_runways(std::vector<Runway>& next, bool both_arinc) {
        if (next.empty()) {
            return;
        }
        const std::size_t before = merged_.runways.size();
        std::unordered_map<std::string, std::set<std::string>> idents_of_next;
        if (!both_arinc) {
            for (const Runway& runway : next) {
                idents_of_next[runway.airport].insert(runway.ident);
            }
        }
        for (Runway& runway : next) {
            if (foreign_airports_.contains(runway.airport)) {
                continue;
            }
            const auto at = runways_at_.find(runway.airport);
            if (at == runways_at_.end()) {
                merged_.runways.push_back(std::move(runway));
                continue;
            }
            Runway* same = nullptr;
            Runway* renamed = nullptr;
            for (const std::size_t i : at->second) {
                Runway& known = merged_.runways[i];
                if (known.ident == runway.ident) {
                    same = &known;
                } else if (!both_arinc && is_renamed(known, runway, idents_of_next[runway.airport])) {
                    renamed = &known;
                }
            }
            if (same != nullptr) {
                const std::string filled = both_arinc ? std::string() : fill_runway(*same, runway);
                choose(fmt::format("runway {} of {}", same->ident, same->airport), same->origin,
                       runway.origin,
                       (merged_is_arinc_ ? stronger(both_arinc) : std::string("the first one given stands")) +
                           (filled.empty() ? "" : "; filled from the other: " + filled));
            } else if (renamed != nullptr) {
                const std::string filled = fill_runway(*renamed, runway);
                choose(fmt::format("runway {} of {}", renamed->ident, renamed->airport), renamed->origin,
                       runway.origin,
                       fmt::format("the other has it under the number {}", runway.ident) +
                           (filled.empty() ? "" : "; filled from the other: " + filled));
            } else {
                merged_.runways.push_back(std::move(runway));
            }
        }
        index_runways(before);
    }

    void index_runways(std::size_t from) {
        for (std::size_t i = from; i < merged_.runways.size(); ++i) {
            runways_at_[merged_.runways[i].airport].push_back(i);
        }
    }

    /// Whether a weaker source's runway end is a stronger one's under another number.
    static bool is_renamed(const Runway& known, const Runway& other, const std::set<std::string>& others) {
        // The weaker source knows the stronger one's number too: then it means two runways.
        if (others.contains(known.ident) || side_of(known.ident) != side_of(other.ident) ||
            !one_apart(number_of(known.ident), number_of(other.ident))) {
            return false;
        }
        if (known.threshold && other.threshold) {
            return earth::distance(*known.threshold, *other.threshold) <= same_threshold;
        }
        return abs(known.length - other.length) <= known.length * same_length_share;
    }

    /// Fills what the stronger record leaves empty where it fits what it has; tells what.
    std::string fill_runway(Runway& known, const Runway& other) const {
        std::string filled;
        const auto note = [&](std::string_view what) {
            filled += fmt::format("{}{}", filled.empty() ? "" : ", ", what);
        };
        if (!known.true_bearing && other.true_bearing && bears_out(known, *other.true_bearing)) {
            known.true_bearing = other.true_bearing;
            note("true bearing");
        }
        if (!known.threshold && other.threshold) {
            known.threshold = other.threshold;
            note("threshold");
        }
        if (!known.far_end && other.far_end && known.threshold &&
            fits_length(earth::distance(*known.threshold, *other.far_end), known.length, known.displaced)) {
            known.far_end = other.far_end;
            note("far end");
        }
        if (!known.elevation && other.elevation) {
            known.elevation = other.elevation;
            note("elevation");
        }
        return filled;
    }

    /// Whether a true bearing fits the published magnetic one by the airport's variation; nothing speaks against it where
    /// one of them is not known.
    bool bears_out(const Runway& runway, base::TrueBearing bearing) const {
        if (!runway.bearing) {
            return true;
        }
        const auto found = airports_.find(hash_of(runway.airport), [&](std::size_t i) {
            return merged_.airports[i].ident == runway.airport;
        });
        if (!found || !merged_.airports[*found].variation) {
            return true;
        }
        const base::Variation variation = *merged_.airports[*found].variation;
        return abs(bearing - base::to_true(*runway.bearing, variation)) <= same_direction;
    }

    /// Records that stand or fall as wholes under one name.
    template <class Thing>
    void add_by_name(std::vector<Thing>& known, std::vector<Thing>& next, NameIndex& names) {
        const std::size_t before = known.size();
        for (Thing& thing : next) {
            if constexpr (std::is_same_v<Thing, navdata::Communication> ||
                          std::is_same_v<Thing, navdata::Marker>) {
                if (foreign_airports_.contains(thing.airport)) {
                    continue;
                }
            }
            const auto found =
                names.find(name_hash(thing), [&](std::size_t i) { return same_name(known[i], thing); });
            if (found) {
                choose(name_of(thing), known[*found].origin, thing.origin, stronger(merged_is_arinc_));
            } else {
                known.push_back(std::move(thing));
            }
        }
        index(known, names, before);
    }

    /// One entry for each run of rows of one airway.
    void index_airways(std::size_t from) {
        for (std::size_t i = from; i < merged_.airway_rows.size(); ++i) {
            const navdata::AirwayRow& row = merged_.airway_rows[i];
            if (i == from || !same_airway(merged_.airway_rows[i - 1], row)) {
                airways_.add(name_hash(row), i);
            }
        }
    }

    static bool same_airway(const navdata::AirwayRow& a, const navdata::AirwayRow& b) {
        return a.area == b.area && a.designator == b.designator;
    }

    void add_airways(std::vector<navdata::AirwayRow>& next) {
        const std::size_t before = merged_.airway_rows.size();
        std::optional<std::size_t> known;
        for (std::size_t i = 0; i < next.size(); ++i) {
            navdata::AirwayRow& row = next[i];
            // A row that was moved away keeps no name, so the rows of one airway are compared through its first.
            const bool first = i == 0 || row.area != last_area_ || row.designator != last_designator_;
            if (first) {
                last_area_ = row.area;
                last_designator_ = row.designator;
                known = airways_.find(
                    name_hash(row), [&](std::size_t k) { return same_airway(merged_.airway_rows[k], row); });
                if (known) {
                    choose(fmt::format("airway {} ({})", row.designator, row.area),
                           merged_.airway_rows[*known].origin, row.origin, stronger(true));
                }
            }
            if (!known) {
                merged_.airway_rows.push_back(std::move(row));
            }
        }
        index_airways(before);
    }

    static const Origin& origin_of(const navdata::Procedure& procedure) {
        return procedure.branches.front().legs.front().origin;
    }

    void index_procedures(std::size_t from) {
        index(merged_.procedures, procedures_, from);
        for (std::size_t i = from; i < merged_.procedures.size(); ++i) {
            if (i == from || merged_.procedures[i].airport != merged_.procedures[i - 1].airport) {
                first_procedure_.emplace(merged_.procedures[i].airport, i);
            }
        }
    }

    void add_procedures(std::vector<navdata::Procedure>& next) {
        const std::size_t before = merged_.procedures.size();
        for (navdata::Procedure& procedure : next) {
            const auto found = procedures_.find(name_hash(procedure), [&](std::size_t i) {
                const navdata::Procedure& known = merged_.procedures[i];
                return known.airport == procedure.airport && known.kind == procedure.kind &&
                       known.ident == procedure.ident;
            });
            if (found) {
                choose(fmt::format("procedure {} of {}", procedure.ident, procedure.airport),
                       origin_of(merged_.procedures[*found]), origin_of(procedure), stronger(true));
                continue;
            }
            if (first_procedure_.contains(procedure.airport)) {
                choices_.push_back(
                    {fmt::format("procedure {} of {}", procedure.ident, procedure.airport),
                     place(origin_of(procedure)),
                     {},
                     "only the older cycle has it; it is kept, as the newer file may be a part, but it may "
                     "have been withdrawn"});
            }
            merged_.procedures.push_back(std::move(procedure));
        }
        index_procedures(before);
    }

    Records merged_;
    bool merged_is_arinc_;
    std::vector<MergeChoice> choices_;
    NameIndex stations_;
    NameIndex airports_;
    NameIndex fixes_;
    NameIndex communications_;
    NameIndex markers_;
    NameIndex sector_altitudes_;
    NameIndex grid_minimums_;
    NameIndex airways_;
    NameIndex procedures_;
    std::unordered_map<std::string, std::vector<std::size_t>> runways_at_;
    std::unordered_map<std::string, std::size_t> first_procedure_;  // of an airport
    std::string last_area_;                                         // of the airway being added
    std::string last_designator_;
    std::set<std::string, std::less<>> foreign_airports_;  // of the reading being added
};

}  // namespace

std::string to_text(const MergeChoice& choice) {
    if (choice.dropped.empty()) {
        return fmt::format("{}: {} is used: {}", choice.what, choice.chosen, choice.why);
    }
    return fmt::format("{}: {} is used, {} is not: {}", choice.what, choice.chosen, choice.dropped,
                       choice.why);
}

Merged merge(std::vector<Records> readings) {
    if (readings.empty()) {
        return {};
    }
    std::stable_sort(readings.begin(), readings.end(), [](const Records& a, const Records& b) {
        if (is_arinc(a) != is_arinc(b)) {
            return is_arinc(a);
        }
        return is_arinc(a) && date_of(a) > date_of(b);
    });
    if (readings.size() == 1) {
        Merged whole{std::move(readings.front()), {}};
        fill_far_ends(whole.records.runways);
        return whole;
    }
    Records strongest = std::move(readings.front());
    readings.front() = Records();
    reserve_for(strongest, readings);
    Merger merger(std::move(strongest));
    for (auto reading = readings.begin() + 1; reading != readings.end(); ++reading) {
        merger.add(std::move(*reading));
    }
    return merger.finish();
}

}  // namespace omniway::readers
