#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "aircraft/performance.hpp"
#include "base/altitude.hpp"
#include "base/finding.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::procedure {

/// Whether an approach goes no lower than an altitude in level flight (MDA), or turns away at one in the descent (DA).
enum class MinimumKind { decision_altitude, minimum_descent_altitude };

/// Whether a landing is made on the runway that an approach leads to, or after circling to another one.
enum class Landing { straight_in, circling };

/// A visibility in the unit in which a chart gives it.
struct StatuteMiles {
    double miles = 0.0;
    friend bool operator==(const StatuteMiles&, const StatuteMiles&) = default;
};
struct VisibilityMetres {
    double metres = 0.0;
    friend bool operator==(const VisibilityMetres&, const VisibilityMetres&) = default;
};
struct RunwayVisualRange {
    base::Length range;
    friend bool operator==(const RunwayVisualRange&, const RunwayVisualRange&) = default;
};
using Visibility = std::variant<StatuteMiles, VisibilityMetres, RunwayVisualRange>;

/// How low an approach goes, as its chart says.
struct ApproachMinimum {
    MinimumKind kind = MinimumKind::minimum_descent_altitude;
    Landing landing = Landing::straight_in;
    base::Altitude altitude;
    std::optional<Visibility> visibility;
    std::string with_fix;  // holds only where this fix is told; empty: always
    std::string remark;    // as written: "with local altimeter"
    std::string where;     // "minima.csv:7"
    friend bool operator==(const ApproachMinimum&, const ApproachMinimum&) = default;
};

/// One minimum with what it is of.
struct MinimumRow {
    std::string airport;
    std::string procedure;  // "I27", "VDM-A"
    std::vector<aircraft::ApproachCategory> categories;
    ApproachMinimum minimum;
};

/// The minima that the person flying has read from the charts.
///   Model     rows of a file, as given (docs/minima-file.md). find() gives the lowest minimum that the way of flying the approach
///             may use: one that needs a step-down fix only where that fix is told.
///   Domain    any number of airports; those of other flights do no harm.
///   Accuracy  as written.
///   Cost      linear in the rows.
///   Fails     "no" is an empty answer: the minimum is not known. Nothing typical ever stands in for it.
///   Source    14 CFR 97.3 (what a minimum is of), trade-facts 11.2, 11.3.
class Minima {
public:
    Minima() = default;
    Minima(std::vector<MinimumRow> rows, std::vector<base::Finding> findings)
        : rows_(std::move(rows)), findings_(std::move(findings)) {}

    /// `told` are the idents of the fixes that the way of flying it tells.
    std::optional<ApproachMinimum> find(const std::string& airport, const std::string& procedure,
                                        aircraft::ApproachCategory category, Landing landing,
                                        const std::vector<std::string>& told) const;
    /// Whether the chart gives a minimum without the step-down fix: then the approach may be flown where it is not told.
    bool allows_without(const std::string& airport, const std::string& procedure,
                        aircraft::ApproachCategory category, const std::string& fix) const;

    bool empty() const { return rows_.empty(); }
    const std::vector<MinimumRow>& rows() const { return rows_; }
    /// Rows that were not used, or not as written, each with its place.
    const std::vector<base::Finding>& findings() const { return findings_; }

private:
    std::vector<MinimumRow> rows_;
    std::vector<base::Finding> findings_;
};

/// The minima with every row of these airports held against the data: rows of an airport or approach that is not there, or below the
/// field, are left out and said with their place and what was perhaps meant.
Minima held_against(const navdata::Snapshot& world, const Minima& minima,
                    const std::vector<navdata::AirportId>& airports);

/// How high above the field an approach of a type usually lets one down: for ranking alone.
///   Model     ILS 200 ft, localizer 400, VOR and NDB 550, circling 200 more than straight in.
///   Domain    conventional route types.
///   Accuracy  a hundred feet or two: what published minima scatter by.
///   Cost      O(1).
///   Fails     never.
///   Source    trade-facts 11.2 [memory]: ILS 200, LOC 350-450, VOR and NDB 400-700, their middles; circling: common practice, no source.
base::Length typical_height(char route_type, Landing landing);

/// How far from a runway's ends circling is protected, by category.
///   Source    trade-facts 11.2 [memory]: A 1.3, B 1.5, C 1.7, D 2.3, E 4.5 NM, the radii of charts before 2013.
base::Length circling_radius(aircraft::ApproachCategory category);

/// "DA", "MDA".
std::string to_text(MinimumKind kind);
/// "straight-in", "circling".
std::string to_text(Landing landing);
/// "1/2 SM", "1 1/4 SM", "800 m", "RVR 2400 ft".
std::string to_text(const Visibility& visibility);
/// "DA 292 ft, 1/2 SM (minima.csv:2)".
std::string to_text(const ApproachMinimum& minimum);

}  // namespace omniway::procedure
