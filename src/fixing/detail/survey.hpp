#pragma once

#include <functional>
#include <utility>
#include <variant>
#include <vector>

#include "earth/geodesic.hpp"
#include "fixing/catalogue.hpp"
#include "fixing/telling.hpp"
#include "fixing/tolerance_area.hpp"

namespace omniway::fixing::detail {

/// One way of telling, before any panel is asked.
struct Candidate {
    Telling telling;
    Needs needs;
    PositionLine line;
};

/// Looks at the stations about a fix one by one: what each gives, or what forbids it. Both tellings() and catalogue() are made of
/// it, so that they cannot differ.
class Survey {
public:
    struct Findings {
        std::vector<Candidate> ways;
        std::vector<Refusal> refused;
    };
    /// None aboard: no panel is asked, and every refusal is kept, also those that would drown the rest in a plan.
    Survey(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment* aboard,
           const FixQuestion& question);

    Findings findings();

    /// The area of a way under what guides; open where nothing does.
    std::variant<ToleranceArea, NoArea> area_of(const Candidate& way) const;

private:
    void consider_each(const std::vector<navdata::StationId>& stations);
    void consider(navdata::StationId id);
    void consider_overhead(navdata::StationId id, const navdata::Station& station, base::Length away);
    void consider_distance(navdata::StationId id, const navdata::Station& station,
                           const earth::Geodesic& line);
    void consider_crossing(navdata::StationId id, const navdata::Station& station,
                           const earth::Geodesic& line);
    void take(navdata::StationId id, Candidate candidate);
    void refuse(Refusal refusal) { found_.refused.push_back(std::move(refusal)); }
    bool lacks(navdata::StationId id, const Needs& needs);
    bool is_heard(navdata::StationId id, radio::Part part);
    base::Altitude antenna_altitude(const navdata::Station& station, radio::Part part) const;
    radio::DmeHeights dme_heights(const navdata::Station& station) const;

    bool has_best() const;
    bool guides(navdata::StationId id) const { return question_.guided_by && *question_.guided_by == id; }
    bool published(navdata::StationId id) const;
    base::Angle smallest_crossing(bool beacon, base::Length away) const;
    std::optional<PositionLine> guiding_line() const;
    DistanceLine ring(const navdata::Station& station, const earth::Geodesic& line) const;

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment* aboard_;
    const FixQuestion& question_;
    GuidedBy guide_;
    std::vector<navdata::StationId> considered_;
    Findings found_;
};

}  // namespace omniway::fixing::detail
