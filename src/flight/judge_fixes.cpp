#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "fixing/telling.hpp"
#include "flight/detail/fix_allowance.hpp"
#include "flight/detail/judge_rules.hpp"
#include "flight/reversal_leg.hpp"
#include "procedure/reversal_rules.hpp"
#include "radio/error_budget.hpp"
#include "radio/reception.hpp"

namespace omniway::flight::detail {

using base::Altitude;
using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::StationId;

namespace {

// TERPS 8260.3B para 287 (trade-facts 3.2, 21).
constexpr Angle least_crossing_en_route = Angle::degrees(30.0);
constexpr Angle least_crossing_terminal = Angle::degrees(45.0);
constexpr Angle most_off_track = Angle::degrees(23.0);
constexpr Angle goes_straight_on = Angle::degrees(5.0);

std::optional<StationId> station_of(const fixing::Way& way) {
    return std::visit([](const auto& w) { return std::optional(w.station); }, way);
}

class Fixes {
public:
    explicit Fixes(const JudgedFlight& judged)
        : judged_(judged),
          world_(judged.day.world),
          ground_(judged.day.ground),
          aboard_(judged.day.aircraft.equipment) {}

    Findings result() {
        for (const auto* legs : {&judged_.legs, &judged_.missed}) {
            for (const JudgedLeg& each : *legs) {
                each_ = &each;
                if (!each.leg->stretches.empty()) {
                    end_of_leg();
                }
                turn_onto();
            }
        }
        return std::move(findings_);
    }

private:
    const Leg& leg() const { return *each_->leg; }
    const procedure::Guidance& guidance() const { return leg().stretches.back().guidance; }

    void block(std::string code, std::string about, std::string text, std::string remedy = {}) {
        findings_.push_back({Grade::blocks, std::move(code), std::move(about), std::move(text),
                             std::move(remedy), each_->last_step()});
    }

    void end_of_leg() {
        if (!leg().ending) {
            ends_in_nothing();
            return;
        }
        std::visit([this](const auto& ending) { ends(ending); }, *leg().ending);
    }

    // Without an end a leg goes straight on, at most to another aid on the same line.
    void ends_in_nothing() {
        const Leg* after = each_->after;
        if (after == nullptr) {
            block("fix.not_told", each_->name(), "the last step ends in nothing that can be seen");
            return;
        }
        if (after->stretches.empty()) {
            return;
        }
        const bool headings = std::holds_alternative<procedure::OnHeading>(guidance()) &&
                              std::holds_alternative<procedure::OnHeading>(after->stretches.front().guidance);
        const Angle turn = abs(after->track - judged_.arrival_track(leg()));
        if (!headings && turn > goes_straight_on) {
            block("fix.not_told", each_->name(),
                  fmt::format("ends in nothing that can be seen, and {:.0f} degrees are turned there",
                              turn.degrees()));
        }
    }

    void ends(const procedure::AtFix& at_fix) {
        told(at_fix.fix, at_fix.telling, use(), fix_allowance(leg(), each_->after));
    }

    void ends(const procedure::AtAltitude&) {}  // an altimeter is always aboard

    void ends(const procedure::AtDistance& at) {
        const navdata::Station& station = world_[at.station];
        if (!station.dme || !aboard_.dme) {
            block("fix.not_told", each_->name(),
                  station.dme ? fmt::format("needs a DME to end at {:.1f} NM of {}",
                                            at.shown.nautical_miles(), station.ident)
                              : fmt::format("ends at a distance of {}, which has no DME", station.ident));
            return;
        }
        heard(at.station, radio::Part::distance);
        const Angle off =
            abs(earth::bearing(leg().finish, station.dme->position) - judged_.arrival_track(leg()));
        const Angle to_line = std::min(off, Angle::degrees(180.0) - off);
        if (!leg().published && procedure::station_of(guidance()) != at.station && to_line > most_off_track) {
            block("fix.off_the_track", each_->name(),
                  fmt::format("ends at a distance of {} {:.0f} degrees off the track, {:.0f} at most",
                              station.ident, to_line.degrees(), most_off_track.degrees()));
        }
    }

    void ends(const procedure::AtRadial& at) {
        const navdata::Station& station = world_[at.station];
        const auto guide = procedure::station_of(guidance());
        const bool by_receiver = guide && navdata::ndb(world_[*guide]) == nullptr && *guide != at.station;
        const bool arc = std::holds_alternative<procedure::OnArc>(guidance());
        if (aboard_.receivers.size() < (by_receiver && !arc ? 2U : 1U)) {
            block("fix.not_told", each_->name(),
                  fmt::format("ends at a radial of {}, and no receiver is free for it", station.ident));
            return;
        }
        heard(at.station, radio::Part::azimuth);
        if (leg().published || arc) {
            return;
        }
        const Angle apart =
            abs(earth::bearing(navdata::site(station), leg().finish) - judged_.arrival_track(leg()));
        const Angle crossing = std::min(apart, Angle::degrees(180.0) - apart);
        const Angle least =
            leg().phase == Phase::en_route ? least_crossing_en_route : least_crossing_terminal;
        if (crossing < least) {
            block("fix.crosses_too_shallow", each_->name(),
                  fmt::format("a radial of {} crosses at {:.0f} degrees, {:.0f} needed", station.ident,
                              crossing.degrees(), least.degrees()));
        }
    }

    // The needle of what guides next comes alive: it must be heard there, and stand on another line than the one flown.
    void ends(const procedure::AtIntercept&) {
        if (leg().length <= earth::same_place || each_->after == nullptr || each_->after->stretches.empty()) {
            return;
        }
        const procedure::Guidance& next = each_->after->stretches.front().guidance;
        const auto station = procedure::station_of(next);
        if (!station) {
            if (!leg().published) {
                block("fix.not_told", each_->name(), "ends at an intercept of what no aid gives");
            }
            return;
        }
        heard(*station,
              std::holds_alternative<procedure::OnArc>(next) ? radio::Part::distance : radio::Part::azimuth);
    }

    void ends(const procedure::AtCourseReversed&) {}  // by the inbound needle, which guides

    void ends(const procedure::AtGlideslopeIntercept&) { on_glideslope(); }
    void ends(const procedure::AtDecisionAltitude&) { on_glideslope(); }

    void on_glideslope() {
        const auto guide = procedure::station_of(guidance());
        const auto* localizer = guide ? navdata::localizer(world_[*guide]) : nullptr;
        if (localizer == nullptr || !localizer->glideslope) {
            block("fix.not_told", each_->name(), "ends on a glideslope, and what guides has none");
        } else if (!aboard_.has_glideslope()) {
            block("fix.not_told", each_->name(), "ends on a glideslope: needs a glideslope receiver");
        }
    }

    void ends(const procedure::AtMissedApproachPoint& at) {
        if (at.telling) {
            told(at.fix, *at.telling, fixing::FixUse::terminal, std::nullopt);
        }
        // Else by time from the final fix: a clock is always aboard, and wind too strong for a time is found elsewhere.
    }

    void ends(const procedure::AtHold& at) {
        told(at.fix, std::nullopt, fixing::FixUse::holding, std::nullopt);
    }

    fixing::FixUse use() const {
        const bool enters = each_->after != nullptr && each_->after->phase == Phase::approach;
        return leg().phase == Phase::en_route && !enters ? fixing::FixUse::en_route
                                                         : fixing::FixUse::terminal;
    }

    std::vector<StationId> published_aids(const std::optional<fixing::Telling>& claimed) const {
        std::vector<StationId> aids;
        if (leg().published) {
            aids = judged_.published_aids(leg().via);
            if (claimed) {
                aids.push_back(*station_of(claimed->way));
            }
        }
        if (each_->after != nullptr && each_->after->published && each_->after->phase == Phase::approach) {
            const auto entered = judged_.published_aids(each_->after->via);
            aids.insert(aids.end(), entered.begin(), entered.end());
        }
        return aids;
    }

    void told(const procedure::PlacedFix& fix, const std::optional<fixing::Telling>& claimed,
              fixing::FixUse use, std::optional<Length> allowed) {
        fixing::FixQuestion question;
        question.fix = leg().finish;
        question.altitude = each_->altitude_at_end();
        question.track = judged_.arrival_track(leg());
        question.guided_by = procedure::station_of(guidance());
        question.arc_about_guide = std::holds_alternative<procedure::OnArc>(guidance());
        question.use = use;
        question.allowed_error = allowed;
        question.criteria = judged_.day.settings.criteria;
        question.published_aids = published_aids(claimed);
        auto found = fixing::tellings(world_, ground_, aboard_, question);
        if (found.ways.empty()) {
            block("fix.not_told", fix.ident, why_not(found));
            return;
        }
        if (!claimed || is_among(*claimed, found.ways)) {
            return;
        }
        question.every_way = true;
        found = fixing::tellings(world_, ground_, aboard_, question);
        if (!is_among(*claimed, found.ways)) {
            block("fix.told_otherwise", fix.ident,
                  fmt::format("{} does not tell it there{}", world_[*station_of(claimed->way)].ident,
                              refused_text(found, *station_of(claimed->way))),
                  "another way of telling it");
        }
    }

    std::string why_not(const fixing::Tellings& found) const {
        return found.refused.empty() ? "no aid gives a second line there"
                                     : fixing::to_text(world_, found.refused.front());
    }

    std::string refused_text(const fixing::Tellings& found, StationId station) const {
        for (const fixing::Refusal& refusal : found.refused) {
            if (refusal.station == station) {
                return ": " + fixing::to_text(world_, refusal);
            }
        }
        return {};
    }

    static bool is_among(const fixing::Telling& claimed, const std::vector<fixing::Telling>& ways) {
        return std::any_of(ways.begin(), ways.end(), [&](const fixing::Telling& way) {
            return way.way.index() == claimed.way.index() && station_of(way.way) == station_of(claimed.way);
        });
    }

    // Off what is published, what ends a leg must be heard where it ends.
    void heard(StationId id, radio::Part part) {
        if (leg().published) {
            return;
        }
        const radio::Reception reception =
            radio::hear(world_[id], part, leg().finish, each_->altitude_at_end(), ground_);
        if (!reception.heard()) {
            block("fix.not_told", each_->name(),
                  fmt::format("{} is not heard where it ends the step: {}", world_[id].ident,
                              radio::to_text(reception)),
                  "a higher altitude");
        }
    }

    // At an initial or intermediate fix no turn over 120 degrees without a course reversal (PANS-OPS II figure I-4-3-1, trade-facts
    // 8.4): on the way into an approach and where own navigation replaces a part of it. Coded turns are the publication's.
    void turn_onto() {
        const Leg* after = each_->after;
        const bool entering = after != nullptr && after->phase == Phase::approach &&
                              !(leg().published && leg().phase == Phase::approach && after->published);
        if (!entering || leg().length <= earth::same_place || after->length <= earth::same_place ||
            is_reversal_leg(*after)) {
            return;
        }
        const auto turn = procedure::turn_at_fix(judged_.arrival_track(leg()), after->track);
        if (turn.allowed == procedure::TurnAllowed::never) {
            block("fix.turn_too_great", leg().to ? leg().to->ident : each_->name(),
                  fmt::format("{:.0f} degrees are turned onto {}, 120 at most without a course reversal",
                              turn.turn.degrees(), after->via));
        }
    }

    const JudgedFlight& judged_;
    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    const JudgedLeg* each_ = nullptr;
    Findings findings_;
};

}  // namespace

Findings fix_findings(const JudgedFlight& judged) {
    return Fixes(judged).result();
}

}  // namespace omniway::flight::detail
