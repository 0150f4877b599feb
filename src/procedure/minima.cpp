#include "procedure/minima.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;

namespace {

bool is_of(const MinimumRow& row, const std::string& airport, const std::string& procedure,
           aircraft::ApproachCategory category) {
    return row.airport == airport && row.procedure == procedure &&
           std::find(row.categories.begin(), row.categories.end(), category) != row.categories.end();
}

std::vector<std::string> idents_of(const navdata::Snapshot& world, const std::string& airport) {
    std::vector<std::string> idents;
    for (const navdata::Procedure* procedure : world.approaches_of(airport)) {
        idents.push_back(procedure->ident);
    }
    return idents;
}

Finding unknown_procedure(const MinimumRow& row, const std::vector<std::string>& idents) {
    const std::string near = base::did_you_mean(base::near_matches(row.procedure, idents));
    std::string known;
    for (const std::string& ident : idents) {
        known += (known.empty() ? "" : ", ") + ident;
    }
    return {Grade::warns, "minima.unknown_procedure", row.minimum.where,
            fmt::format("{} has no approach {} in the data, and its minimum is not used{}", row.airport,
                        base::in_quotes(row.procedure), near.empty() ? near : ": " + near),
            known.empty() ? "import its procedures" : "name one of " + known};
}

// A minimum is above the sea; a height above the field written there by mistake is below most fields.
std::optional<Finding> below_field(const navdata::Airport& airport, const MinimumRow& row) {
    if (!airport.elevation) {
        return std::nullopt;
    }
    const double above_ft = (row.minimum.altitude - *airport.elevation).feet();
    if (above_ft <= 0.0) {
        return Finding{
            Grade::warns, "minima.below_field", row.minimum.where,
            fmt::format("{:.0f} ft for {} {} is not above the field, which stands {:.0f} ft above "
                        "mean sea level: it is not used",
                        row.minimum.altitude.feet(), row.airport, row.procedure, airport.elevation->feet()),
            "give the altitude above mean sea level, not the height above the runway"};
    }
    return std::nullopt;
}

}  // namespace

std::optional<ApproachMinimum> Minima::find(const std::string& airport, const std::string& procedure,
                                            aircraft::ApproachCategory category, Landing landing,
                                            const std::vector<std::string>& told) const {
    std::optional<ApproachMinimum> lowest;
    for (const MinimumRow& row : rows_) {
        const ApproachMinimum& minimum = row.minimum;
        const bool may_be_used =
            minimum.with_fix.empty() || std::find(told.begin(), told.end(), minimum.with_fix) != told.end();
        if (is_of(row, airport, procedure, category) && minimum.landing == landing && may_be_used &&
            (!lowest || minimum.altitude < lowest->altitude)) {
            lowest = minimum;
        }
    }
    return lowest;
}

bool Minima::allows_without(const std::string& airport, const std::string& procedure,
                            aircraft::ApproachCategory category, const std::string& fix) const {
    bool with = false;
    bool without = false;
    for (const MinimumRow& row : rows_) {
        if (is_of(row, airport, procedure, category)) {
            with = with || row.minimum.with_fix == fix;
            without = without || row.minimum.with_fix.empty();
        }
    }
    return with && without;
}

Minima held_against(const navdata::Snapshot& world, const Minima& minima,
                    const std::vector<navdata::AirportId>& airports) {
    std::vector<MinimumRow> rows;
    std::vector<Finding> findings = minima.findings();
    std::vector<std::string> all;
    for (const navdata::Airport& airport : world.airports()) {
        all.push_back(airport.ident);
    }
    for (const MinimumRow& row : minima.rows()) {
        const auto airport = world.airport(row.airport);
        if (!airport) {
            const std::string near = base::did_you_mean(base::near_matches(row.airport, all));
            findings.push_back({Grade::warns, "minima.unknown_airport", row.minimum.where,
                                fmt::format("no airport {} is in the data, and its minimum is not used{}",
                                            base::in_quotes(row.airport), near.empty() ? near : ": " + near),
                                "correct the ident, or import the data that holds it"});
            continue;
        }
        // Procedures are decoded for the airports of a flight alone: those of others cannot be held against anything.
        if (std::find(airports.begin(), airports.end(), *airport) == airports.end()) {
            continue;
        }
        const auto idents = idents_of(world, row.airport);
        if (std::find(idents.begin(), idents.end(), row.procedure) == idents.end()) {
            findings.push_back(unknown_procedure(row, idents));
        } else if (auto low = below_field(world[*airport], row)) {
            findings.push_back(std::move(*low));
        } else {
            rows.push_back(row);
        }
    }
    return {std::move(rows), std::move(findings)};
}

Length typical_height(char route_type, Landing landing) {
    double feet = 0.0;
    switch (route_type) {
        case 'I':
            feet = 200.0;
            break;
        case 'L':
        case 'B':
        case 'X':
        case 'U':
            feet = 400.0;
            break;
        default:
            feet = 550.0;
            break;
    }
    return Length::feet(landing == Landing::circling ? feet + 200.0 : feet);
}

Length circling_radius(aircraft::ApproachCategory category) {
    switch (category) {
        case aircraft::ApproachCategory::a:
            return Length::nautical_miles(1.3);
        case aircraft::ApproachCategory::b:
            return Length::nautical_miles(1.5);
        case aircraft::ApproachCategory::c:
            return Length::nautical_miles(1.7);
        case aircraft::ApproachCategory::d:
            return Length::nautical_miles(2.3);
        case aircraft::ApproachCategory::e:
            return Length::nautical_miles(4.5);
    }
    return Length::nautical_miles(4.5);
}

std::string to_text(MinimumKind kind) {
    return kind == MinimumKind::decision_altitude ? "DA" : "MDA";
}

std::string to_text(Landing landing) {
    return landing == Landing::straight_in ? "straight-in" : "circling";
}

std::string to_text(const Visibility& visibility) {
    struct Say {
        // Charts give statute miles as a whole number and eighths.
        std::string operator()(StatuteMiles v) const {
            const double whole = std::floor(v.miles);
            long eighths = std::lround((v.miles - whole) * 8.0);
            if (std::abs((v.miles - whole) * 8.0 - static_cast<double>(eighths)) > 1e-6 || eighths == 8) {
                return fmt::format("{:g} SM", v.miles);
            }
            if (eighths == 0) {
                return fmt::format("{:.0f} SM", whole);
            }
            long parts = 8;
            for (; eighths % 2 == 0; eighths /= 2) {
                parts /= 2;
            }
            return whole > 0.0 ? fmt::format("{:.0f} {}/{} SM", whole, eighths, parts)
                               : fmt::format("{}/{} SM", eighths, parts);
        }
        std::string operator()(VisibilityMetres v) const { return fmt::format("{:.0f} m", v.metres); }
        std::string operator()(const RunwayVisualRange& v) const {
            return fmt::format("RVR {:.0f} ft", v.range.feet());
        }
    };
    return std::visit(Say{}, visibility);
}

std::string to_text(const ApproachMinimum& minimum) {
    std::string text = fmt::format("{} {:.0f} ft", to_text(minimum.kind), minimum.altitude.feet());
    if (minimum.visibility) {
        text += ", " + to_text(*minimum.visibility);
    }
    if (minimum.landing == Landing::circling) {
        text += ", circling";
    }
    if (!minimum.with_fix.empty()) {
        text += ", with " + minimum.with_fix;
    }
    if (!minimum.remark.empty()) {
        text += ", " + minimum.remark;
    }
    return text + " (" + minimum.where + ")";
}

}  // namespace omniway::procedure
