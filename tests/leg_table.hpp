#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "navdata/snapshot.hpp"
#include "procedure/approach.hpp"
#include "procedure/flown.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::testing {

/// Every conventional approach of a world whose fixes are present, each way flown to its missed approach and through it.
struct FlownWay {
    procedure::ApproachWay way;
    procedure::FlownPath approach;
    procedure::FlownPath missed;
};

// A fix or a row is missing in the middle of a way: what is drawn across the hole says nothing of the joins.
inline bool has_a_hole(const procedure::ApproachWay& way) {
    for (const base::Finding& finding : way.findings) {
        if (finding.code == "procedure.fix_unknown" || finding.code == "procedure.legs_missing" ||
            finding.code == "procedure.legs_do_not_join") {
            return true;
        }
    }
    return way.legs.empty();
}

inline std::vector<FlownWay> fly_every_approach(const navdata::Snapshot& world,
                                                const aircraft::Aircraft& aircraft, const weather::Wind& wind,
                                                procedure::ReversalManner manner) {
    std::vector<FlownWay> all;
    const radio::Ground ground{};
    for (std::uint32_t i = 0; i < world.airports().size(); ++i) {
        for (procedure::ApproachWay& way :
             procedure::approach_ways(world, ground, aircraft.equipment, navdata::AirportId{i})) {
            if (has_a_hole(way)) {
                continue;
            }
            const procedure::FlownBy by{&aircraft, wind, manner};
            FlownWay flown;
            procedure::FlownStart start;
            start.altitude = way.entry_altitude.value_or(base::Altitude::feet(4000.0));
            flown.approach = procedure::fly(world, way.legs, by, start);
            if (const auto end = flown.approach.end()) {
                start.place = end->place;
                start.track = end->track;
            }
            start.altitude = flown.approach.end_altitude();
            flown.missed = procedure::fly(world, way.missed, by, start);
            flown.way = std::move(way);
            all.push_back(std::move(flown));
        }
    }
    return all;
}

/// A branch of a conventional departure or arrival, flown by itself.
struct FlownBranch {
    const navdata::Procedure* procedure = nullptr;
    const navdata::Branch* branch = nullptr;
    std::vector<procedure::PlacedLeg> legs;
    procedure::FlownPath path;
};

// Route types 1, 2, 3 of departures and arrivals, and of departures the engine-out and vector ones (trade-facts 13.9).
inline bool is_conventional_branch(const navdata::Procedure& procedure, const navdata::Branch& branch) {
    const std::string letters = procedure.kind == navdata::ProcedureKind::departure ? "0123TV" : "123";
    return procedure.kind != navdata::ProcedureKind::approach &&
           letters.find(branch.route_type) != std::string::npos;
}

inline std::vector<FlownBranch> fly_every_branch(const navdata::Snapshot& world,
                                                 const aircraft::Aircraft& aircraft,
                                                 const weather::Wind& wind) {
    std::vector<FlownBranch> all;
    for (const navdata::Procedure& procedure : world.procedures()) {
        const auto airport = world.airport(procedure.airport);
        for (const navdata::Branch& branch : procedure.branches) {
            if (!airport || !is_conventional_branch(procedure, branch)) {
                continue;
            }
            std::vector<const navdata::Leg*> legs;
            for (const navdata::Leg& leg : branch.legs) {
                legs.push_back(&leg);
            }
            procedure::PathContext context;
            context.name = procedure.airport + " " + procedure.ident;
            context.variation = world[*airport].variation.value_or(base::Variation());
            context.start = world[*airport].position;
            context.procedure = &procedure;
            FlownBranch flown{&procedure, &branch, {}, {}};
            flown.legs =
                procedure::place_legs(world, radio::Ground{}, aircraft.equipment, legs, context).legs;
            if (flown.legs.size() != legs.size()) {
                continue;
            }
            const bool departs = procedure.kind == navdata::ProcedureKind::departure;
            procedure::FlownStart start;
            start.altitude = departs ? world[*airport].elevation.value_or(base::Altitude())
                                     : base::Altitude::feet(10000.0);
            start.phase = departs ? procedure::FlownPhase::departure : procedure::FlownPhase::arrival;
            flown.path = procedure::fly(world, flown.legs, {&aircraft, wind}, start);
            all.push_back(std::move(flown));
        }
    }
    return all;
}

/// How many coded legs of each path terminator were tried, joined, and fell back, by reason. A leg that several ways share is
/// one leg, and falls back if it does in any of them.
struct LegTable {
    struct Row {
        std::size_t tried = 0;
        std::map<std::string, std::size_t> fell_back;
    };
    std::map<std::string, Row> rows;
    std::size_t ways = 0;

    std::size_t tried() const {
        std::size_t sum = 0;
        for (const auto& [name, row] : rows) {
            sum += row.tried;
        }
        return sum;
    }
    static std::size_t fallen(const Row& row) {
        std::size_t sum = 0;
        for (const auto& [reason, count] : row.fell_back) {
            sum += count;
        }
        return sum;
    }
    std::size_t fell_back() const {
        std::size_t sum = 0;
        for (const auto& [name, row] : rows) {
            sum += fallen(row);
        }
        return sum;
    }
};

class LegCount {
public:
    void add(const std::vector<FlownWay>& all) {
        for (const FlownWay& flown : all) {
            add(flown.way.legs, flown.approach);
            add(flown.way.missed, flown.missed);
        }
        ways_ += all.size();
    }

    void add(const std::vector<FlownBranch>& all) {
        for (const FlownBranch& flown : all) {
            add(flown.legs, flown.path);
        }
        ways_ += all.size();
    }

    LegTable table() const {
        LegTable table;
        table.ways = ways_;
        for (const auto& [coded, fallback] : legs_) {
            LegTable::Row& row = table.rows[navdata::to_text(coded->terminator)];
            ++row.tried;
            if (fallback) {
                ++row.fell_back[procedure::to_text(*fallback)];
            }
        }
        return table;
    }

private:
    void add(const std::vector<procedure::PlacedLeg>& placed, const procedure::FlownPath& path) {
        for (const procedure::FlownLeg& leg : path.legs) {
            auto& fallback = legs_[placed[leg.leg].coded];
            fallback = leg.fallback ? leg.fallback : fallback;
        }
    }

    std::map<const navdata::Leg*, std::optional<procedure::Fallback>> legs_;
    std::size_t ways_ = 0;
};

/// As the rows of a table in Markdown.
inline std::string to_text(const LegTable& table) {
    std::string text = "| path terminator | tried | joined | fell back | reasons |\n|---|---|---|---|---|\n";
    for (const auto& [name, row] : table.rows) {
        std::string reasons;
        for (const auto& [reason, count] : row.fell_back) {
            reasons += fmt::format("{}{}: {}", reasons.empty() ? "" : "; ", reason, count);
        }
        const std::size_t fallen = LegTable::fallen(row);
        text +=
            fmt::format("| {} | {} | {} | {} | {} |\n", name, row.tried, row.tried - fallen, fallen, reasons);
    }
    return text + fmt::format("| all | {} | {} | {} | |\n", table.tried(), table.tried() - table.fell_back(),
                              table.fell_back());
}

}  // namespace omniway::testing
