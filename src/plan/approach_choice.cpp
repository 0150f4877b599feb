#include "plan/approach_choice.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/missed_approach.hpp"
#include "flight/missed_climb.hpp"
#include "flight/own_join.hpp"
#include "flight/reversal_leg.hpp"
#include "procedure/vertical.hpp"
#include "routing/front.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;
using flight::RunwayFit;
using navdata::PathTerminator;
using procedure::ApproachWay;
using procedure::Landing;

namespace {

constexpr Length miles(double nm) {
    return Length::nautical_miles(nm);
}

WorkItem final_work(char route_type) {
    switch (route_type) {
        case 'I':
            return {"a glideslope", miles(0.0)};
        case 'L':
        case 'X':
        case 'U':
            return {"no glideslope", miles(2.0)};
        case 'B':
            return {"a back course", miles(6.0)};
        case 'D':
        case 'S':
        case 'V':
            return {"a VOR final", miles(1.0)};
        default:
            return {"a beacon final", miles(8.0)};
    }
}

bool is_block(const Finding& finding) {
    return finding.grade == Grade::blocks;
}

const Finding& first_block(const std::vector<Finding>& findings) {
    return *std::find_if(findings.begin(), findings.end(), is_block);
}

bool any_blocks(const std::vector<Finding>& findings) {
    return std::any_of(findings.begin(), findings.end(), is_block);
}

bool is_step_down(const procedure::PlacedLeg& leg) {
    return leg.coded->fix && !leg.coded->is_final_approach_fix() && !leg.coded->is_missed_approach_point();
}

class Chooser {
public:
    Chooser(const navdata::Snapshot& world, const radio::Ground& ground, const ApproachQuestion& question)
        : world_(world), ground_(ground), question_(question), airport_(world[question.airport]) {}

    ApproachChoice result(const std::vector<ApproachWay>& ways) {
        for (const ApproachWay& way : ways) {
            consider(way);
        }
        return std::move(answer_);
    }

private:
    const aircraft::Aircraft& aircraft() const { return *question_.aircraft; }
    Altitude field() const { return airport_.elevation.value_or(Altitude()); }
    std::string about(const ApproachWay& way) const { return airport_.ident + " " + way.name(); }
    aircraft::ApproachCategory category() const {
        return aircraft::approach_category(aircraft().performance.approach_speed);
    }

    void consider(const ApproachWay& way) {
        FlyableApproach made;
        made.way = &way;
        made.findings = way.findings;
        if (way.legs.empty() && any_blocks(made.findings)) {
            answer_.refused.push_back({&way, first_block(made.findings)});
            return;
        }
        lift_step_downs(made);
        add_legs(made);
        // The rest is looked for only where the way to the missed approach point can be flown.
        if (const auto block = block_before_missed(made)) {
            answer_.refused.push_back({&way, *block});
            return;
        }
        if (const auto broken = broken_constraint(way, made.legs)) {
            answer_.refused.push_back({&way, *broken});
            return;
        }
        settle_missed(made);
        if (any_blocks(made.findings)) {
            answer_.refused.push_back({&way, first_block(made.findings)});
            return;
        }
        if (const auto none = add_landings(made)) {
            answer_.refused.push_back({&way, *none});
            return;
        }
        count_work(made);
        fill_entry(made);
        answer_.flyable.push_back(std::move(made));
    }

    std::optional<Finding> broken_constraint(const ApproachWay& way,
                                             const std::vector<flight::Leg>& legs) const {
        for (const flight::Leg& leg : legs) {
            if (auto broken = routing::broken_by(question_.constraints, world_, leg)) {
                broken->text = "its leg" + broken->about.substr(leg.via.size()) + " " + broken->text;
                broken->about = about(way);
                return broken;
            }
        }
        return std::nullopt;
    }

    static std::optional<Finding> block_before_missed(const FlyableApproach& made) {
        const auto& missed = made.way->missed_findings;
        for (const Finding& finding : made.findings) {
            if (is_block(finding) && std::find(missed.begin(), missed.end(), finding) == missed.end()) {
                return finding;
            }
        }
        return std::nullopt;
    }

    // A step-down fix that is not told is flown past at the minimum that the chart gives without it.
    void lift_step_downs(FlyableApproach& made) const {
        const ApproachWay& way = *made.way;
        for (const std::string& fix : way.step_downs_not_told) {
            if (!question_.minima->allows_without(airport_.ident, way.procedure->ident, category(), fix)) {
                continue;
            }
            std::erase_if(made.findings, [&](const Finding& finding) {
                return finding.code.ends_with(".fix_not_told") && finding.about.ends_with(" " + fix);
            });
            made.findings.push_back({Grade::notes, "approach.step_down_not_told", about(way),
                                     fix + " cannot be told: the minimum without it holds", ""});
        }
    }

    // The legs of the procedure, own navigation in place of its vectors included.
    void add_legs(FlyableApproach& made) {
        const ApproachWay& way = *made.way;
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            if (way.vectors && way.vectors->before == i) {
                replace_vectors(made);
            }
            const procedure::PlacedLeg& placed = way.legs[i];
            // A row that only says where the way begins; behind a procedure turn its fix is flown to.
            if (placed.coded->terminator == PathTerminator::IF && placed.length <= Length()) {
                continue;
            }
            made.legs.push_back(leg_of(placed, way.name(), flight::Phase::approach));
            const auto& untold = way.step_downs_not_told;
            if (placed.coded->fix &&
                std::find(untold.begin(), untold.end(), placed.coded->fix->ident) != untold.end()) {
                made.legs.back().ending = std::nullopt;
            }
        }
        for (const flight::Leg& leg : made.legs) {
            made.length += leg.length;
        }
    }

    void replace_vectors(FlyableApproach& made) {
        const ApproachWay& way = *made.way;
        const procedure::VectorsGap& gap = *way.vectors;
        const procedure::PlacedLeg* beyond = nullptr;
        for (std::size_t i = gap.before; i < way.legs.size() && beyond == nullptr; ++i) {
            beyond = way.legs[i].length > Length() ? &way.legs[i] : nullptr;
        }
        if (beyond == nullptr || !way.legs[gap.before].to) {
            return;
        }
        flight::JoinQuestion asked;
        asked.procedure = way.name();
        asked.from = gap.from;
        asked.arriving = gap.arriving;
        asked.to = *way.legs[gap.before].to;
        asked.inbound = beyond->track;
        asked.guidance = beyond->guidance;
        asked.altitude = way.legs[gap.before].coded->altitude_1.value_or(
            way.entry_altitude.value_or(field() + Length::feet(2000.0)));
        asked.allowed_error = beyond->length * 0.5;
        asked.groundspeed = [&](base::TrueBearing track) {
            const auto held = aircraft::hold_course(
                track, aircraft::true_airspeed_cruise(aircraft().performance, asked.altitude),
                question_.winds.at(asked.altitude));
            return held ? held->groundspeed : base::Speed::knots(1.0);
        };
        flight::JoinOrReason joined =
            flight::join_without_vectors(world_, ground_, aircraft().equipment, *question_.settings, asked);
        const auto refusal =
            std::find_if(made.findings.begin(), made.findings.end(),
                         [](const Finding& finding) { return finding.code.ends_with(".ends_in_vectors"); });
        if (joined.legs.empty()) {
            refusal->text += "; own navigation does not replace them: " + joined.why_not;
            return;
        }
        *refusal = {Grade::warns, "approach.vectors_replaced", refusal->about,
                    fmt::format("ends in radar vectors: replaced by own navigation from {} to {}",
                                gap.from.ident, asked.to.ident),
                    ""};
        made.work.push_back({"own navigation for vectors", miles(8.0)});
        for (flight::Leg& leg : joined.legs) {
            made.legs.push_back(std::move(leg));
        }
    }

    // The published missed approach, or own navigation where the equipment cannot fly it.
    void settle_missed(FlyableApproach& made) {
        const ApproachWay& way = *made.way;
        const std::string name = about(way) + ", missed";
        std::optional<Finding> block;
        for (const Finding& finding : way.missed_findings) {
            if (is_block(finding) && !block) {
                block = finding;
            }
        }
        if (!block) {
            block = flight::retunes_only_receiver(world_, aircraft(), way.missed, tuned_on_final(way),
                                                  lowest_at_missed_point(way), name);
            if (block) {
                made.findings.push_back(*block);
            }
        }
        if (!block) {
            for (const procedure::PlacedLeg& placed : way.missed) {
                made.missed.push_back(leg_of(placed, "missed approach", flight::Phase::missed));
            }
            block = broken_constraint(way, made.missed);
            if (block) {
                made.missed.clear();
                made.findings.push_back(*block);
            }
        }
        if (!block) {
            flight::lay_missed_climb(world_, {&aircraft().performance, question_.winds},
                                     lowest_at_missed_point(way), made.missed);
            const procedure::PlacedLeg& last = way.legs.back();
            flight::lead_to_the_aid(world_, last.finish, last.track, made.missed);
            return;
        }
        replace_missed(made, *block);
    }

    void replace_missed(FlyableApproach& made, const Finding& block) {
        const ApproachWay& way = *made.way;
        // Every transition of a procedure goes missed at one place: looked for once.
        auto [known, is_new] = own_missed_.try_emplace(way.procedure);
        const bool coded_part =
            block.code != "missed.retunes_only_receiver" && !block.code.starts_with("constraint.");
        if (is_new) {
            known->second = flight::own_missed_approach(world_, ground_, aircraft(), *question_.settings,
                                                        question_.winds, missed_start(way, coded_part));
        }
        const flight::OwnMissedOrReason& found = known->second;
        if (!found.own) {
            if (!found.refused.empty()) {
                Finding also = found.refused.front();
                also.text = "own navigation does not replace its missed approach: " + also.text;
                made.findings.push_back(std::move(also));
            }
            return;
        }
        const flight::OwnMissed& own = *found.own;
        if (auto broken = broken_constraint(way, own.legs)) {
            made.findings.push_back(std::move(*broken));
            return;
        }
        std::erase_if(made.findings, [&](const Finding& finding) {
            const auto& missed = way.missed_findings;
            return is_block(finding) &&
                   (finding == block || std::find(missed.begin(), missed.end(), finding) != missed.end());
        });
        const std::string where = leg_part(block.about);
        made.findings.push_back(
            {Grade::warns, "missed.own_navigation", about(way),
             fmt::format("its published missed approach cannot be flown ({}{}); own navigation instead: "
                         "straight ahead to {:.0f} ft, direct to {} {}, hold there at {:.0f} ft",
                         where.empty() ? where : where + ": ", block.text, own.turns_at.feet(),
                         navdata::kind_text(world_[own.station]), world_[own.station].ident,
                         own.holds_at.feet()),
             block.remedy});
        if (coded_part) {
            for (const procedure::PlacedLeg& placed : way.missed_flyable) {
                made.missed.push_back(leg_of(placed, "missed approach", flight::Phase::missed));
            }
        }
        made.missed.insert(made.missed.end(), own.legs.begin(), own.legs.end());
        made.missed_profile = own.profile;
        made.work.push_back({"an own missed approach", miles(8.0)});
    }

    static std::optional<navdata::StationId> tuned_on_final(const ApproachWay& way) {
        return way.legs.empty() ? std::nullopt : procedure::station_of(way.legs.back().guidance);
    }

    // The lower it begins the later a station is heard: where the minimum is not known, what is coded over the threshold.
    Altitude lowest_at_missed_point(const ApproachWay& way) const {
        const auto minimum =
            question_.minima->find(airport_.ident, way.procedure->ident, category(),
                                   way.runway ? Landing::straight_in : Landing::circling, way.told());
        if (minimum) {
            return minimum->altitude;
        }
        const auto coded = way.legs.empty() ? std::nullopt : way.legs.back().coded->altitude_1;
        return std::max(coded.value_or(field()), field());
    }

    flight::MissedStart missed_start(const ApproachWay& way, bool with_coded_part) const {
        flight::MissedStart start;
        start.approach = about(way);
        start.field = field();
        start.altitude = lowest_at_missed_point(way);
        start.tuned = tuned_on_final(way);
        start.receiver_to_spare = aircraft().equipment.receivers.size() > 1 && !second_tells_end(way);
        const procedure::PlacedLeg* last = &way.legs.back();
        start.name = last->to ? last->to->ident : "missed approach point";
        if (with_coded_part) {
            for (const procedure::PlacedLeg& leg : way.missed_flyable) {
                last = &leg;
                start.name = leg.to ? leg.to->ident : start.name;
                if (const auto* climbs = std::get_if<procedure::AtAltitude>(&leg.ending)) {
                    start.altitude = std::max(start.altitude, climbs->altitude);
                }
                if (const auto station = procedure::station_of(leg.guidance)) {
                    start.tuned = station;
                }
            }
        }
        start.place = last->finish;
        start.track = last->track;
        for (const navdata::Branch& branch : way.procedure->branches) {
            bool missed = false;
            for (const navdata::Leg& leg : branch.legs) {
                missed = missed || leg.begins_missed_approach();
                if (missed && leg.altitude_1) {
                    start.published = std::max(start.published.value_or(*leg.altitude_1), *leg.altitude_1);
                }
            }
        }
        return start;
    }

    static bool second_tells_end(const ApproachWay& way) {
        const auto* point = std::get_if<procedure::AtMissedApproachPoint>(&way.legs.back().ending);
        return point != nullptr && point->telling &&
               std::holds_alternative<fixing::CrossingRadial>(point->telling->way);
    }

    // Straight in where the runway fits; circling to every other that fits and has more wind ahead. Why not, where none is left.
    std::optional<Finding> add_landings(FlyableApproach& made) const {
        const ApproachWay& way = *made.way;
        const RunwayFit* own = nullptr;
        for (const RunwayFit& fit : question_.runways) {
            own = way.runway && fit.runway == *way.runway ? &fit : own;
        }
        const bool lines_up = std::none_of(way.findings.begin(), way.findings.end(), [](const Finding& f) {
            return f.code == "approach.course_offset" && f.grade == Grade::warns;
        });
        bool circles = false;
        for (const RunwayFit& fit : question_.runways) {
            if (!fit.fits()) {
                continue;
            }
            const bool has_more_wind_ahead =
                own == nullptr || !own->fits() || std::lround((fit.headwind - own->headwind).knots()) >= 1;
            if (&fit == own) {
                made.landings.push_back(
                    landing_on(way, fit, lines_up ? Landing::straight_in : Landing::circling));
            } else if (has_more_wind_ahead && (!way.runway || !circles)) {
                made.landings.push_back(landing_on(way, fit, Landing::circling));
                circles = true;
            }
        }
        if (!made.landings.empty()) {
            std::stable_sort(
                made.landings.begin(), made.landings.end(),
                [](const LandingOption& a, const LandingOption& b) { return a.weight() < b.weight(); });
            return std::nullopt;
        }
        std::string why = "no runway of it is in the data";
        if (own != nullptr || !question_.runways.empty()) {
            const RunwayFit& fit = own != nullptr ? *own : question_.runways.front();
            const Finding& block = first_block(fit.findings);
            why = block.about + ": " + block.text;
        }
        return Finding{Grade::blocks, "approach.runway", about(way), why, ""};
    }

    LandingOption landing_on(const ApproachWay& way, const RunwayFit& fit, Landing landing) const {
        LandingOption option;
        option.runway = fit;
        option.landing = landing;
        option.minimum =
            question_.minima->find(airport_.ident, way.procedure->ident, category(), landing, way.told());
        option.ranked_by = option.minimum ? option.minimum->altitude
                                          : field() + procedure::typical_height(way.route_type, landing);
        const double above_200_ft = (option.ranked_by - field()).feet() - 200.0;
        option.work.push_back({"height of the minimum", miles(0.02 * std::max(0.0, above_200_ft))});
        if (landing == Landing::circling) {
            option.work.push_back({"circling", miles(15.0)});
        }
        const double behind_kt = std::max(0.0, -fit.headwind.knots());
        const double less_kt = std::max(0.0, (question_.runways.front().headwind - fit.headwind).knots());
        option.work.push_back({"the wind", miles(1.5 * behind_kt + 0.3 * less_kt)});
        return option;
    }

    void count_work(FlyableApproach& made) const {
        const ApproachWay& way = *made.way;
        made.work.push_back(final_work(way.route_type));
        if (!way.published_entry) {
            made.work.push_back({"entered by own navigation", miles(40.0)});
        }
        std::size_t retunes = 0;
        std::optional<navdata::StationId> tuned;
        bool on_final = false;
        for (const procedure::PlacedLeg& leg : way.legs) {
            switch (leg.coded->terminator) {
                case PathTerminator::PI:
                    made.work.push_back({"a procedure turn", miles(2.0)});
                    break;
                case PathTerminator::HF:
                    made.work.push_back({"a hold in lieu of a procedure turn", miles(2.0)});
                    break;
                case PathTerminator::AF:
                    made.work.push_back({"a DME arc", miles(2.0)});
                    break;
                default:
                    break;
            }
            if (on_final && is_step_down(leg)) {
                made.work.push_back({"a step-down", miles(1.0)});
            }
            on_final = on_final || leg.coded->is_final_approach_fix();
            const auto station = procedure::station_of(leg.guidance);
            retunes += station && tuned && *station != *tuned ? 1U : 0U;
            tuned = station ? station : tuned;
            const auto* at_fix = std::get_if<procedure::AtFix>(&leg.ending);
            if (at_fix != nullptr && std::holds_alternative<fixing::CrossingRadial>(at_fix->telling.way)) {
                made.work.push_back({"a fix by a second receiver", miles(2.0)});
            }
        }
        const std::size_t ready = std::max<std::size_t>(aircraft().equipment.receivers.size(), 1) - 1;
        if (retunes > ready) {
            const std::size_t in_flight = retunes - ready;
            made.work.push_back({in_flight == 1 ? "a retune" : fmt::format("{} retunes", in_flight),
                                 miles(static_cast<double>(in_flight))});
        }
    }

    void fill_entry(FlyableApproach& made) const {
        const ApproachWay& way = *made.way;
        routing::Entry& entry = made.entry;
        entry.fix = way.entry;
        for (const flight::Leg& leg : made.legs) {
            if (leg.length > Length()) {
                // Only what is flown first counts: a reversal farther on excuses no turn over the entry (flight/judge_fixes.cpp).
                entry.any_direction = flight::is_reversal_leg(leg);
                entry.first_track = leg.track;
                entry.allowed_error = leg.length * 0.5;
                // Onto a localizer at most 30 degrees (trade-facts 21, common practice); elsewhere 120 (trade-facts 8.4).
                if (std::holds_alternative<procedure::OnLocalizer>(leg.stretches.front().guidance) &&
                    !way.published_entry) {
                    entry.largest_turn = base::Angle::degrees(30.0);
                }
                break;
            }
        }
        for (const procedure::PlacedLeg& leg : way.legs) {
            if (const auto station = procedure::station_of(leg.guidance)) {
                entry.published_aids.push_back(*station);
            }
        }
        entry.length = made.length;
        entry.work = routing::work_of(made.legs, [this](base::TrueBearing) {
            return aircraft::true_airspeed_approach(aircraft().performance, field());
        });
        entry.extra = made.length;
        for (const WorkItem& item : made.work) {
            entry.extra += item.worth;
        }
    }

    // ", missed, leg 070 DF XSL" of what a finding is about: where in the approach.
    static std::string leg_part(const std::string& about) {
        const std::size_t at = about.find(", leg ");
        return at == std::string::npos ? std::string() : about.substr(at + 2);
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const ApproachQuestion& question_;
    const navdata::Airport& airport_;
    std::map<const navdata::Procedure*, flight::OwnMissedOrReason> own_missed_;
    ApproachChoice answer_;
};

std::string feet_text(Length difference) {
    return fmt::format("{:.0f} ft", std::round(std::abs(difference.feet()) / 10.0) * 10.0);
}

std::optional<Altitude> minimum_of(const ApproachConsidered& approach) {
    return approach.minimum ? std::optional(approach.minimum->altitude) : approach.typical_minimum;
}

}  // namespace

Length LandingOption::weight() const {
    Length sum;
    for (const WorkItem& item : work) {
        sum += item.worth;
    }
    return sum;
}

bool is_asked_for(const ApproachWay& way, const std::optional<std::string>& approach,
                  const std::optional<std::string>& transition) {
    return (!approach || way.procedure->ident == *approach || way.name() == *approach) &&
           (!transition || way.transition == *transition);
}

flight::Leg leg_of(const procedure::PlacedLeg& placed, const std::string& via, flight::Phase phase) {
    flight::Leg leg;
    leg.phase = phase;
    leg.via = via;
    leg.published = true;
    leg.from = placed.from;
    leg.to = placed.to;
    leg.start = placed.start;
    leg.finish = placed.finish;
    leg.track = placed.track;
    leg.arrival = placed.track;
    leg.length = placed.length;
    leg.stretches.push_back({Length(), placed.length, placed.guidance});
    leg.ending = placed.ending;
    // What is coded with the missed approach point is a height over the threshold: its minimum is the chart's.
    leg.minimum = {flight::MinimumFrom::coded_procedure,
                   placed.coded == nullptr || placed.coded->is_missed_approach_point()
                       ? std::nullopt
                       : procedure::window_of(*placed.coded).at_or_above};
    leg.coded = placed.coded;
    return leg;
}

ApproachChoice approach_choice(const navdata::Snapshot& world, const radio::Ground& ground,
                               const ApproachQuestion& question, const std::vector<ApproachWay>& ways) {
    return Chooser(world, ground, question).result(ways);
}

ApproachConsidered considered(const navdata::Snapshot& world, const FlyableApproach& approach,
                              const LandingOption& landing) {
    ApproachConsidered made;
    const ApproachWay& way = *approach.way;
    made.name = way.name();
    made.flyable = true;
    made.procedure = way.procedure->ident;
    made.transition = way.transition;
    made.entry = way.entry.ident;
    made.runway = world[landing.runway.runway].ident;
    made.landing = landing.landing;
    made.approach_miles = approach.length;
    made.work = approach.work;
    made.work.insert(made.work.end(), landing.work.begin(), landing.work.end());
    std::erase_if(made.work, [](const WorkItem& item) { return item.worth <= Length(); });
    made.minimum = landing.minimum;
    if (!landing.minimum) {
        made.typical_minimum = landing.ranked_by;
    }
    made.headwind = landing.runway.headwind;
    return made;
}

ApproachConsidered considered(const RefusedApproach& refused) {
    ApproachConsidered made;
    const ApproachWay& way = *refused.way;
    made.name = way.name();
    made.procedure = way.procedure->ident;
    made.transition = way.transition;
    made.entry = way.entry.ident;
    made.runway = way.runway_ident;
    made.landing = way.runway ? Landing::straight_in : Landing::circling;
    const std::size_t at = refused.reason.about.find(", ");
    made.why_not = at == std::string::npos ? refused.reason.text
                                           : refused.reason.about.substr(at + 2) + ": " + refused.reason.text;
    return made;
}

std::string difference(const ApproachConsidered& taken, const ApproachConsidered& other) {
    std::vector<std::string> against;
    std::vector<std::string> in_favour;
    if (taken.track_miles && other.track_miles) {
        const long longer = std::lround((*other.track_miles - *taken.track_miles).nautical_miles());
        if (longer != 0) {
            (longer > 0 ? against : in_favour)
                .push_back(fmt::format("{} NM {}", std::abs(longer), longer > 0 ? "longer" : "shorter"));
        }
    }
    const auto low = minimum_of(taken);
    const auto here = minimum_of(other);
    if (low && here && std::abs((*here - *low).feet()) >= 5.0) {
        const bool typical = !taken.minimum || !other.minimum;
        (*here > *low ? against : in_favour)
            .push_back(feet_text(*here - *low) + (*here > *low ? " higher" : " lower") + " minimum" +
                       (typical ? " (typical)" : ""));
    }
    if (taken.headwind && other.headwind) {
        const long ahead = std::lround(other.headwind->knots());
        const long less = std::lround((*taken.headwind - *other.headwind).knots());
        if (ahead < 0 && less > 0) {
            against.push_back(fmt::format("tailwind {} kt", -ahead));
        } else if (less > 0) {
            against.push_back(fmt::format("{} kt less headwind", less));
        } else if (less < 0) {
            in_favour.push_back(fmt::format("{} kt more headwind", -less));
        }
    }
    for (const WorkItem& item : other.work) {
        const bool shared = std::any_of(taken.work.begin(), taken.work.end(),
                                        [&](const WorkItem& each) { return each.what == item.what; });
        if (!shared && item.what != "height of the minimum" && item.what != "the wind") {
            against.push_back(item.what);
        }
    }
    std::string text;
    for (const std::string& part : against) {
        text += (text.empty() ? "" : ", ") + part;
    }
    for (const std::string& part : in_favour) {
        text += (text.empty()                  ? "no better, though "
                 : &part == &in_favour.front() ? "; though "
                                               : ", ") +
                part;
    }
    return text.empty() ? "no better" : text;
}

std::optional<Finding> wind_favours_other(const navdata::Snapshot& world, const ApproachQuestion& question,
                                          const ApproachChoice& choice, const FlyableApproach& taken,
                                          const LandingOption& landing) {
    if (question.runways.empty() || !question.runways.front().fits()) {
        return std::nullopt;
    }
    const bool circles_for_wind = landing.landing == Landing::circling && taken.way->runway &&
                                  landing.runway.runway != *taken.way->runway;
    const RunwayFit& best = circles_for_wind ? landing.runway : question.runways.front();
    const auto leads_to = [&](navdata::RunwayId id) {
        return std::any_of(choice.flyable.begin(), choice.flyable.end(), [&](const FlyableApproach& each) {
            return each.way->runway && *each.way->runway == id;
        });
    };
    const std::string favoured = fmt::format(
        "the wind favours {} (headwind {:.0f} kt), to which {}", world[best.runway].ident,
        best.headwind.knots(),
        leads_to(best.runway) ? "a longer or harder approach leads" : "no approach leads that can be flown");
    const std::string about = world[question.airport].ident + " " + taken.way->name();
    if (circles_for_wind) {
        return Finding{Grade::warns, "runway.wind_favours_other", about,
                       favoured + ": circle to it, at circling minima", ""};
    }
    const long less = std::lround((best.headwind - landing.runway.headwind).knots());
    if (less < 3) {
        return std::nullopt;
    }
    const long here = std::lround(landing.runway.headwind.knots());
    const std::string wind = here < 0 ? fmt::format("a tailwind of {} kt, within the limit of {:.0f} kt",
                                                    -here, landing.runway.tailwind_limit.knots())
                                      : fmt::format("{} kt less headwind", less);
    return Finding{
        here < 0 ? Grade::warns : Grade::notes, "runway.wind_favours_other", about,
        fmt::format("{}: landing on {} with {}", favoured, world[landing.runway.runway].ident, wind),
        fmt::format("circling to {} at circling minima", world[best.runway].ident)};
}

}  // namespace omniway::plan
