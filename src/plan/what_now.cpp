#include "plan/what_now.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "base/contract.hpp"
#include "earth/squared_region.hpp"
#include "flight/name_of_aid.hpp"

namespace omniway::plan {

using base::Finding;
using base::Grade;
using base::Length;

namespace {

constexpr double sure_enough = 0.8;
constexpr Length small_enough = Length::nautical_miles(10.0);

class Answering {
public:
    Answering(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
              const WhatNowQuestion& question)
        : world_(world), ground_(ground), model_(model), question_(question) {}

    WhatNow result(const base::Progress& progress) {
        be_sure();
        be_high_enough();
        go_back();
        land(progress);
        base::rank(now_.findings);
        return std::move(now_);
    }

private:
    const Request& request() const { return question_.request; }

    void find(Grade grade, const char* code, const char* about, std::string text, std::string remedy = {}) {
        now_.findings.push_back(
            {grade, std::string("now.") + code, about, std::move(text), std::move(remedy)});
    }

    void be_sure() {
        const fixing::Belief& belief = question_.belief;
        OMNIWAY_EXPECTS(!belief.modes.empty());
        const fixing::Mode& likeliest = belief.modes.front();
        now_.sure = {likeliest.place, likeliest.probability,
                     earth::extent_of(belief.frame, belief.most.rings), false};
        now_.sure.enough = likeliest.probability >= sure_enough && now_.sure.extent <= small_enough;
        if (!now_.sure.enough) {
            find(Grade::warns, "not_sure", "the place",
                 fmt::format(
                     "{:.0f} % stand for the likeliest of {} place{}, and the 95 % region is {:.1f} NM long: "
                     "headings from there are a guess",
                     100.0 * likeliest.probability, belief.modes.size(), belief.modes.size() == 1 ? "" : "s",
                     now_.sure.extent.nautical_miles()),
                 "tune what tells more first");
        }
    }

    void be_high_enough() {
        now_.safe = safe_altitude(world_, ground_.terrain, model_, request().today,
                                  {question_.belief.frame, question_.belief.most.rings}, question_.altitude,
                                  request().settings.obstacle_allowance);
        now_.go_on_at = question_.altitude;
        const auto& known = now_.safe.altitude ? now_.safe.altitude : now_.safe.at_least;
        if (!now_.safe.altitude) {
            no_safe_altitude();
        }
        if (known && question_.altitude < *known) {
            now_.climb_first = true;
            now_.go_on_at = *known;
            find(Grade::warns, "climb_first", "the altitude",
                 fmt::format("{:.0f} ft is {:.0f} ft below {}: climb to {:.0f} ft first",
                             question_.altitude.feet(), (*known - question_.altitude).feet(),
                             now_.safe.altitude ? "what is safe there" : "the least that is known there",
                             known->feet()));
        }
        hold_to_the_ceiling();
    }

    void no_safe_altitude() {
        std::string why;
        for (const SafeCandidate& each : now_.safe.looked_at) {
            why += (why.empty() ? "" : "; ") + each.says;
        }
        find(Grade::warns, "no_safe_altitude", "the altitude",
             "no safe altitude is known here: " + (why.empty() ? std::string("the region is empty") : why));
        if (now_.safe.at_least && question_.altitude >= *now_.safe.at_least) {
            find(Grade::warns, "only_a_bound", "the altitude",
                 fmt::format(
                     "{:.0f} ft is no lower than what is known, {:.0f} ft, and may be too low all the same",
                     question_.altitude.feet(), now_.safe.at_least->feet()));
        }
    }

    void hold_to_the_ceiling() {
        const base::Altitude ceiling = request().aircraft.performance.service_ceiling;
        if (now_.go_on_at > ceiling) {
            find(Grade::warns, "above_the_ceiling", "the altitude",
                 fmt::format("{:.0f} ft is above the ceiling: the rest is reckoned at {:.0f} ft",
                             now_.go_on_at.feet(), ceiling.feet()));
            now_.go_on_at = ceiling;
        }
    }

    void go_back() {
        if (!question_.card) {
            return;
        }
        const flight::Circumstances day{
            world_,         ground_, model_, request().today, request().aircraft, request().settings,
            request().winds};
        now_.back = back_to_card(
            day, *question_.card,
            {question_.belief, now_.sure.place, question_.altitude, now_.go_on_at, question_.heading});
        if (!now_.back) {
            find(Grade::notes, "card_is_over", "the card",
                 "no step of it is left that can be joined from the side");
            return;
        }
        const auto& against = now_.back->findings;
        now_.findings.insert(now_.findings.end(), against.begin(), against.end());
    }

    void land(const base::Progress& progress) {
        if (question_.land.airports.empty()) {
            return;
        }
        Request asked = request();
        asked.cruise.reset();
        InFlight from;
        from.at = {question_.place_name, now_.sure.place, now_.go_on_at};
        from.fuel = question_.fuel;
        now_.land = diversions(world_, ground_, model_, asked, from, question_.land, progress);
        if (now_.land.ranked.empty()) {
            no_airport();
        } else if (const auto& first = now_.land.ranked.front().first) {
            hear(*first);
        }
    }

    // Of the nearest of them why.
    void no_airport() {
        constexpr std::size_t told = 3;
        std::string why;
        for (std::size_t i = 0; i < std::min(told, now_.land.refused.size()); ++i) {
            const DiversionRefused& each = now_.land.refused[i];
            why += fmt::format("{}{} ({:.0f} NM) {}", why.empty() ? "" : "; ", world_[each.airport].ident,
                               each.direct.nautical_miles(), each.why);
        }
        if (now_.land.refused.size() > told) {
            why += fmt::format("; {} more", now_.land.refused.size() - told);
        }
        find(Grade::warns, "no_airport", "an airport",
             fmt::format("none can be flown to from there at {:.0f} ft{}{}", now_.go_on_at.feet(),
                         why.empty() ? "" : ": ", why));
    }

    void hear(const FirstOnTheRadios& first) {
        for (const navdata::Point& point : world_.named(first.aid.ident)) {
            const auto* id = std::get_if<navdata::StationId>(&point);
            if (id == nullptr || flight::named(world_[*id]) != first.aid) {
                continue;
            }
            HeardThere heard =
                heard_there(world_, ground_, *id, question_.belief, now_.sure.place, now_.go_on_at);
            if (!now_.first_heard || heard.here.distance < now_.first_heard->here.distance) {
                now_.first_heard = std::move(heard);
            }
        }
        if (now_.first_heard && !now_.first_heard->here.heard()) {
            find(Grade::notes, "first_not_heard", "an airport",
                 fmt::format("{} {} is not heard yet: {}", first.aid.kind, first.aid.ident,
                             radio::to_text(now_.first_heard->here)));
        }
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const WhatNowQuestion& question_;
    WhatNow now_;
};

}  // namespace

WhatNow what_now(const navdata::Snapshot& world, const radio::Ground& ground,
                 const earth::MagneticModel& model, const WhatNowQuestion& question,
                 const base::Progress& progress) {
    return Answering(world, ground, model, question).result(progress);
}

}  // namespace omniway::plan
