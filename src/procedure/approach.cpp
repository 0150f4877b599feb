#include "procedure/approach.hpp"

#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "procedure/airport_variation.hpp"

namespace omniway::procedure {

using base::Finding;
using base::Grade;
using base::Length;
using navdata::Branch;
using navdata::Leg;
using navdata::PathTerminator;

namespace {

using LegList = std::vector<const Leg*>;

struct OwnPart {
    const Branch* branch = nullptr;
    LegList to_missed_point;
    LegList missed;
};

OwnPart own_part(const navdata::Procedure& procedure) {
    OwnPart part;
    for (const Branch& branch : procedure.branches) {
        if (branch.route_type != 'A' && branch.route_type != 'Z') {
            part.branch = &branch;
        }
    }
    if (part.branch == nullptr) {
        return part;
    }
    // Whatever follows the missed approach point is missed approach; the leg marked as its first may be a row that is absent.
    bool in_missed = false;
    for (const Leg& leg : part.branch->legs) {
        in_missed = in_missed || leg.begins_missed_approach();
        (in_missed ? part.missed : part.to_missed_point).push_back(&leg);
        in_missed = in_missed || leg.is_missed_approach_point();
    }
    return part;
}

bool opens_a_path(PathTerminator t) {
    return t == PathTerminator::IF || t == PathTerminator::FC || t == PathTerminator::FD ||
           t == PathTerminator::PI || t == PathTerminator::HF || t == PathTerminator::AF ||
           t == PathTerminator::FA;
}

bool ends_in_vectors(PathTerminator t) {
    return t == PathTerminator::FM || t == PathTerminator::VM;
}

bool is_reversal(PathTerminator t) {
    return t == PathTerminator::PI || t == PathTerminator::HF || t == PathTerminator::HM ||
           t == PathTerminator::HA;
}

// A transition is named after the fix it begins at and opens with a leg that needs none before it; rows are numbered from
// 010 on (trade-facts 13.9). An arc tells by its own radial where it begins.
bool begins_whole(const Branch& branch) {
    const Leg& first = branch.legs.front();
    const bool begins_elsewhere = first.sequence > 10 && first.terminator != PathTerminator::AF &&
                                  first.fix && !branch.transition.starts_with(first.fix->ident);
    return opens_a_path(first.terminator) && !begins_elsewhere;
}

bool is_flown_on_a_localizer(char route_type) {
    return route_type == 'I' || route_type == 'L' || route_type == 'B' || route_type == 'X' ||
           route_type == 'U';
}

class Surveyor {
public:
    Surveyor(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
             navdata::AirportId airport, radio::Criteria criteria)
        : world_(world),
          ground_(ground),
          aboard_(aboard),
          airport_(world[airport]),
          variation_(variation_of(world, airport_).value_or(base::Variation())),
          criteria_(criteria) {}

    void consider(const navdata::Procedure& procedure, std::vector<ApproachWay>& ways) const {
        const OwnPart part = own_part(procedure);
        ApproachWay base_way;
        base_way.procedure = &procedure;
        base_way.route_type = part.branch != nullptr ? part.branch->route_type : procedure.ident.front();
        base_way.runway_ident = runway_of_approach(procedure.ident);
        for (const navdata::RunwayId id : world_.runways_of(airport_.ident)) {
            if (!base_way.runway_ident.empty() && world_[id].ident == base_way.runway_ident) {
                base_way.runway = id;
            }
        }
        const std::string about = fmt::format("{} {}", airport_.ident, base_way.name());
        const auto refused_whole = [&](const std::string& code, const std::string& why,
                                       const std::string& remedy) {
            base_way.findings.push_back({Grade::blocks, "approach." + code, about, why, remedy});
            ways.push_back(base_way);
        };
        if (!navdata::is_conventional_approach_type(base_way.route_type)) {
            refused_whole("area_navigation",
                          fmt::format("{} needs equipment that is not ground-based radio navigation",
                                      navdata::approach_type_text(base_way.route_type)),
                          "");
            return;
        }
        if (part.branch == nullptr || part.to_missed_point.empty()) {
            refused_whole("not_whole", "only transitions of it are in the data, not the approach itself",
                          "import the whole procedure");
            return;
        }
        const bool has_point = std::any_of(part.to_missed_point.begin(), part.to_missed_point.end(),
                                           [](const Leg* leg) { return leg->is_missed_approach_point(); });
        if (!has_point) {
            refused_whole("not_whole", "its missed approach point is not in the data",
                          "import the whole procedure");
            return;
        }
        if (!base_way.runway_ident.empty() && !base_way.runway) {
            refused_whole("runway_unknown", fmt::format("{} has no record", base_way.runway_ident),
                          "import the airport's runways");
            return;
        }
        find_localizer(part, base_way);
        if (is_flown_on_a_localizer(base_way.route_type) && !base_way.localizer) {
            base_way.findings.push_back(localizer_missing(part, about));
            ways.push_back(base_way);
            return;
        }
        const bool with_glideslope = base_way.route_type == 'I' &&
                                     navdata::localizer(world_[*base_way.localizer])->glideslope.has_value();
        if (base_way.route_type == 'I') {
            if (!with_glideslope) {
                refused_whole("no_glideslope", "the record of its localizer has no glideslope",
                              "fly the localizer approach");
                return;
            }
            if (!aboard_.has_glideslope()) {
                refused_whole("lacks_receiver", "needs a glideslope receiver", "");
                return;
            }
        }
        // A transition ends where the part that all share begins, so that part opens with a leg that needs none before it.
        if (!opens_a_path(part.to_missed_point.front()->terminator)) {
            refused_whole("not_whole",
                          fmt::format("its first rows are not in the data: it begins with leg {:03} {}",
                                      part.to_missed_point.front()->sequence,
                                      navdata::to_text(part.to_missed_point.front()->terminator)),
                          "import the whole procedure");
            return;
        }
        ways.push_back(placed(base_way, {}, part, with_glideslope));
        for (const Branch& branch : procedure.branches) {
            if (branch.route_type == 'A' && !branch.legs.empty()) {
                ApproachWay way = base_way;
                way.transition = branch.transition;
                const Leg& first = branch.legs.front();
                if (!begins_whole(branch)) {
                    way.findings.push_back(
                        {Grade::blocks, "approach.not_whole",
                         fmt::format("{} {}", airport_.ident, way.name()),
                         fmt::format(
                             "the first rows of its transition are not in the data: it begins with leg "
                             "{:03} {}{}",
                             first.sequence, navdata::to_text(first.terminator),
                             first.fix ? " " + first.fix->ident : std::string()),
                         "import the whole procedure"});
                    ways.push_back(std::move(way));
                    continue;
                }
                LegList before;
                for (const Leg& leg : branch.legs) {
                    before.push_back(&leg);
                }
                ways.push_back(placed(way, before, part, with_glideslope));
            }
        }
    }

private:
    void find_localizer(const OwnPart& part, ApproachWay& way) const {
        if (!is_flown_on_a_localizer(way.route_type)) {
            return;
        }
        for (const Leg* leg : part.to_missed_point) {
            if (leg->recommended && leg->recommended->kind == navdata::PointKind::localizer) {
                if (const auto id = world_.localizer_of(airport_.ident, leg->recommended->ident)) {
                    way.localizer = id;
                }
            }
        }
    }

    // An LDA leads at more than 3 degrees to the runway, an SDF at up to 3 as a rule; straight-in minima may be published up to 30
    // (AIM 1-1-9 c, 1-1-10 e; the 3 degrees of the LDA: FAA Instrument Procedures Handbook).
    void note_offset(ApproachWay& way, const std::string& about) const {
        const auto* azimuth = way.localizer ? navdata::localizer(world_[*way.localizer]) : nullptr;
        if (azimuth == nullptr || way.route_type == 'B' || !way.runway) {
            return;
        }
        const navdata::Runway& runway = world_[*way.runway];
        if (!runway.threshold || !runway.far_end) {
            return;
        }
        const base::Angle off = abs(base::to_true(azimuth->course, azimuth->declination) -
                                    earth::bearing(*runway.threshold, *runway.far_end));
        if (off <= base::Angle::degrees(3.0)) {
            return;
        }
        const bool straight_in = off <= base::Angle::degrees(30.0);
        way.findings.push_back(
            {straight_in ? Grade::notes : Grade::warns, "approach.course_offset", about,
             fmt::format("the course of {} {} leads at {:.0f} degrees to the runway: {}",
                         navdata::kind_text(world_[*way.localizer]), world_[*way.localizer].ident,
                         off.degrees(),
                         straight_in ? "line up by eye before landing" : "circling minima only"),
             ""});
    }

    Finding localizer_missing(const OwnPart& part, const std::string& about) const {
        for (const Leg* leg : part.to_missed_point) {
            if (leg->recommended && world_.is_out_of_service(leg->recommended->ident)) {
                return {Grade::blocks, "approach.localizer_unknown", about,
                        "its localizer " + leg->recommended->ident + " is out of service",
                        "its return to service, or another approach"};
            }
        }
        return {Grade::blocks, "approach.localizer_unknown", about, "its localizer has no record",
                "import the localizer"};
    }

    ApproachWay placed(ApproachWay way, LegList legs, const OwnPart& part, bool with_glideslope) const {
        bool first = true;
        for (const Leg* leg : part.to_missed_point) {
            // Vectors end short of the fix where the shared part begins, which must then be reached.
            // A procedure turn ends anywhere on the inbound course: where the shared part begins at its fix, that is still ahead.
            const bool joins =
                first && !legs.empty() && leg->terminator == PathTerminator::IF &&
                !ends_in_vectors(legs.back()->terminator) &&
                !(legs.back()->terminator == PathTerminator::PI && legs.back()->fix == leg->fix);
            first = false;
            if (!joins) {
                legs.push_back(leg);
            }
        }
        PathContext context;
        context.name = fmt::format("{} {}", airport_.ident, way.name());
        context.variation = variation_;
        context.localizer = way.localizer;
        context.glideslope = with_glideslope;
        context.airport_elevation = airport_.elevation.value_or(base::Altitude());
        context.start = airport_.position;
        context.procedure = way.procedure;
        context.criteria = criteria_;
        note_offset(way, context.name);
        const Leg& opening = *legs.front();
        const std::optional<std::size_t> gap = cut_vectors(way, legs, context);
        PlacedPath path = place_legs(world_, ground_, aboard_, legs, context);
        if (const auto entry = place_fix(world_, opening, way.procedure)) {
            way.entry = *entry;
        } else {
            way.entry.ident = opening.fix ? opening.fix->ident : "?";
        }
        way.entry_altitude = opening.altitude_1;
        way.published_entry = opening.is_initial_approach_fix() || !way.transition.empty();
        // Wherever the reversal stands: overhead the entry one turns outbound the shorter way, whatever the heading
        // (AIM 5-4-9 leaves type and point of the turn to the pilot).
        way.reverses_course = std::any_of(legs.begin(), legs.end(),
                                          [](const Leg* leg) { return is_reversal(leg->terminator); });
        way.legs = std::move(path.legs);
        way.findings.insert(way.findings.end(), path.findings.begin(), path.findings.end());
        for (const PlacedLeg& leg : way.legs) {
            way.length += leg.length;
        }
        if (gap) {
            settle_gap(way, *legs[*gap]);
        }
        find_step_downs(way, legs);
        const std::size_t before_missed = way.findings.size();
        place_missed(way, part, context);
        way.missed_findings.assign(way.findings.begin() + static_cast<std::ptrdiff_t>(before_missed),
                                   way.findings.end());
        return way;
    }

    // Takes a leg that ends in vectors out where a fix stands on either side of it, so that the legs beyond are judged as well;
    // returns which leg then follows the gap. Anywhere else the leg stays, and is refused with its place.
    std::optional<std::size_t> cut_vectors(ApproachWay& way, LegList& legs,
                                           const PathContext& context) const {
        const auto at = std::find_if(legs.begin(), legs.end(),
                                     [](const Leg* leg) { return ends_in_vectors(leg->terminator); });
        if (at == legs.end() || at + 1 == legs.end() || (*(at + 1))->terminator != PathTerminator::IF) {
            return std::nullopt;
        }
        const bool from_its_fix = (*at)->terminator == PathTerminator::FM;
        if (!from_its_fix && at == legs.begin()) {
            return std::nullopt;
        }
        const auto from = place_fix(world_, from_its_fix ? **at : **(at - 1), way.procedure);
        if (!from) {
            return std::nullopt;
        }
        way.vectors = VectorsGap{0, *at, *from, std::nullopt};
        way.findings.push_back({Grade::blocks, fmt::format("{}.ends_in_vectors", "procedure"),
                                fmt::format("{}, leg {:03} {}", context.name, (*at)->sequence,
                                            navdata::to_text((*at)->terminator)),
                                "ends in radar vectors: nothing in the cockpit ends it", ""});
        return static_cast<std::size_t>(legs.erase(at) - legs.begin());
    }

    static void settle_gap(ApproachWay& way, const Leg& after) {
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            if (way.legs[i].coded == &after) {
                way.vectors->before = i;
                if (i > 0 && way.legs[i - 1].length > Length()) {
                    way.vectors->arriving = way.legs[i - 1].track;
                }
                return;
            }
        }
        way.vectors.reset();  // the fix beyond has no place, which is said already
    }

    // A chart may give a minimum for those who cannot tell a step-down fix between the final fix and the missed approach point.
    static void find_step_downs(ApproachWay& way, const LegList& legs) {
        bool on_final = false;
        for (const Leg* leg : legs) {
            if (on_final && leg->fix && !leg->is_missed_approach_point() && !leg->is_final_approach_fix()) {
                const bool untold =
                    std::any_of(way.findings.begin(), way.findings.end(), [&](const Finding& finding) {
                        return finding.code.ends_with(".fix_not_told") &&
                               finding.about.ends_with(" " + leg->fix->ident);
                    });
                if (untold) {
                    way.step_downs_not_told.push_back(leg->fix->ident);
                }
            }
            on_final = on_final || leg->is_final_approach_fix();
        }
    }

    void place_missed(ApproachWay& way, const OwnPart& part, PathContext context) const {
        if (part.missed.empty()) {
            way.findings.push_back({Grade::asks, "approach.missed_unknown", context.name,
                                    "its missed approach is not in the data", "read it from the chart"});
            return;
        }
        if (!part.missed.front()->begins_missed_approach()) {
            way.findings.push_back(
                {Grade::asks, "approach.missed_unknown", context.name,
                 fmt::format("the first leg of its missed approach is not in the data, which goes on with "
                             "leg {:03} {}",
                             part.missed.front()->sequence,
                             navdata::to_text(part.missed.front()->terminator)),
                 "read it from the chart"});
            return;
        }
        context.missed = true;
        context.glideslope = false;
        context.name += ", missed";
        if (!way.legs.empty()) {
            context.start = way.legs.back().finish;
        }
        // What the data do not say is asked, as where the whole missed approach is absent; only what they say can block.
        const auto unplaced = std::find_if(part.missed.begin(), part.missed.end(), [&](const Leg* leg) {
            return leg->fix && !place_fix(world_, *leg, way.procedure);
        });
        if (unplaced != part.missed.end()) {
            way.findings.push_back(
                {Grade::asks, "approach.missed_unknown", context.name,
                 fmt::format("it goes to {}, which has no record and which no theta and rho of a "
                             "recorded aid define",
                             (*unplaced)->fix->ident),
                 "read it from the chart"});
            return;
        }
        PlacedPath path = place_legs(world_, ground_, aboard_, part.missed, context);
        way.missed = std::move(path.legs);
        way.findings.insert(way.findings.end(), path.findings.begin(), path.findings.end());
        if (!path.flyable()) {
            way.missed_flyable = flyable_part(part.missed, context);
        }
    }

    // What is flown as published before own navigation takes over. A leg that wants the next one to end counts as not flyable.
    std::vector<PlacedLeg> flyable_part(LegList legs, const PathContext& context) const {
        while (!legs.empty()) {
            legs.pop_back();
            PlacedPath part = place_legs(world_, ground_, aboard_, legs, context);
            if (part.flyable()) {
                return std::move(part.legs);
            }
        }
        return {};
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    const navdata::Airport& airport_;
    base::Variation variation_;
    radio::Criteria criteria_;
};

}  // namespace

bool ApproachWay::flyable() const {
    return base::verdict_of(findings) != base::Verdict::not_flyable;
}

bool ApproachWay::flyable_to_missed_point() const {
    return std::all_of(findings.begin(), findings.end(), [&](const Finding& finding) {
        return finding.grade != Grade::blocks ||
               std::find(missed_findings.begin(), missed_findings.end(), finding) != missed_findings.end();
    });
}

std::vector<std::string> ApproachWay::told() const {
    std::vector<std::string> idents;
    for (const PlacedLeg& leg : legs) {
        if (const auto* at_fix = std::get_if<AtFix>(&leg.ending)) {
            idents.push_back(at_fix->fix.ident);
        }
    }
    return idents;
}

std::string ApproachWay::name() const {
    std::string text = navdata::approach_type_text(route_type);
    if (runway_ident.empty()) {
        text += " " + procedure->ident;
    } else {
        text += " " + runway_ident;
        const std::size_t used = 1 + runway_ident.size() - 2;
        std::string suffix = procedure->ident.size() > used ? procedure->ident.substr(used) : std::string();
        suffix.erase(std::remove(suffix.begin(), suffix.end(), '-'), suffix.end());
        if (!suffix.empty()) {
            text += " " + suffix;
        }
    }
    if (!transition.empty()) {
        text += " via " + transition;
    }
    return text;
}

std::vector<ApproachWay> approach_ways(const navdata::Snapshot& world, const radio::Ground& ground,
                                       const cockpit::Equipment& aboard, navdata::AirportId airport,
                                       radio::Criteria criteria) {
    std::vector<ApproachWay> ways;
    const Surveyor surveyor(world, ground, aboard, airport, criteria);
    for (const navdata::Procedure* procedure : world.approaches_of(world[airport].ident)) {
        surveyor.consider(*procedure, ways);
    }
    return ways;
}

std::string runway_of_approach(const std::string& ident) {
    const auto digit = [&](std::size_t i) {
        return i < ident.size() && std::isdigit(static_cast<unsigned char>(ident[i])) != 0;
    };
    if (!digit(1) || !digit(2) || digit(3)) {
        return {};
    }
    std::string runway = "RW" + ident.substr(1, 2);
    if (ident.size() > 3 && (ident[3] == 'L' || ident[3] == 'R' || ident[3] == 'C')) {
        runway += ident[3];
    }
    return runway;
}

}  // namespace omniway::procedure
