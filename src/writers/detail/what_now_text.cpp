#include "writers/detail/what_now_text.hpp"

#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "plan/step_wording.hpp"
#include "plan/wording.hpp"
#include "writers/detail/diversion_text.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers::detail {

namespace {

constexpr std::size_t columns = 96;

std::string line(const std::string& text) {
    return wrapped("  " + text, columns, "    ") + "\n";
}

std::string safe_text(const plan::WhatNow& now) {
    const plan::SafeAltitude& safe = now.safe;
    if (safe.altitude) {
        return line(fmt::format("{}{:.0f} ft is safe over all of the 95 % region: {}",
                                now.climb_first ? "climb first: " : "", std::ceil(safe.altitude->feet()),
                                safe.taken()->says));
    }
    if (safe.at_least) {
        return line(fmt::format("{}no safe altitude is known; no lower than {:.0f} ft, and that may not do",
                                now.climb_first ? "climb first: " : "", std::ceil(safe.at_least->feet())));
    }
    return line("no safe altitude is known there");
}

std::string aid_text(const plan::AidToSet& set) {
    return plan::set_text(set.set) + " " + plan::tuning_text(set.aid) +
           (set.course ? ", course " + plan::three_figures(set.course->degrees()) : std::string());
}

std::string turn_text(const std::optional<base::Angle>& turn) {
    if (!turn || std::abs(turn->degrees()) < 0.5) {
        return "";
    }
    return fmt::format(" ({} {:.0f} degrees)", turn->degrees() > 0.0 ? "right" : "left",
                       std::abs(turn->degrees()));
}

std::string way_text(const plan::BackToCard& back) {
    const std::string flown =
        back.heading
            ? fmt::format("heading {}{}", plan::three_figures(back.heading->degrees()), turn_text(back.turn))
            : "track " + plan::three_figures(back.track.degrees());
    const std::string after = fmt::format("{:.1f} NM{}", back.distance.nautical_miles(),
                                          back.time ? ", " + base::elapsed_text(*back.time) : std::string());
    switch (back.by) {
        case plan::JoinBy::on_it:
            break;
        case plan::JoinBy::intercept:
            return fmt::format("{} meets it after {} under {:.0f} degrees, then course {}", flown, after,
                               back.cut.degrees(), plan::three_figures(back.then.degrees()));
        case plan::JoinBy::direct:
            return fmt::format(
                "{} leads {} in {}, then course {}", flown,
                back.direct_to.empty() ? "to where it is joined" : "direct to " + back.direct_to, after,
                plan::three_figures(back.then.degrees()));
    }
    return fmt::format("on its line: {}, {} to its end", flown, after);
}

std::string back_text(const plan::BackToCard& back) {
    std::string text = line(fmt::format("back to the card: step {}{}{}: {}", back.step,
                                        back.via.empty() ? "" : ", " + back.via,
                                        back.to.empty() ? "" : ", to " + back.to, way_text(back)));
    if (back.set) {
        const bool heard = !back.heard.empty();
        text +=
            line("  " + aid_text(*back.set) +
                 (heard ? fmt::format(", heard over {:.0f} % of it", back.heard.back().share * 100.0) : ""));
    }
    return text;
}

}  // namespace

std::string what_now_text(const navdata::Snapshot& world, const plan::WhatNow& now) {
    std::string text = "\nnow\n" + safe_text(now);
    if (now.back) {
        text += back_text(*now.back);
    }
    if (!now.land.ranked.empty()) {
        text +=
            fmt::format("\n{} land, from there at {:.0f} ft\n", now.back ? "or" : "to", now.go_on_at.feet());
        for (std::size_t i = 0; i < now.land.ranked.size(); ++i) {
            text += diversion_text(world, i + 1, now.land.ranked[i]);
        }
    }
    return now.findings.empty() ? text : text + "\n" + findings_text(now.findings, true);
}

}  // namespace omniway::writers::detail
