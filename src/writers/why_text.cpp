#include "writers/why_text.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "flight/route.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/card_blocks.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers {

namespace {

std::string costs_text(const std::string& whose, const flight::Costs& costs) {
    const auto percent = [](double share) { return fmt::format("{:.0f} %", share * 100.0); };
    return fmt::format("  {:<10}{:>6}{:>8.1f}{:>12}{:>7}{:>8}\n", whose, base::elapsed_text(costs.time),
                       costs.work, percent(costs.margin.reception), percent(costs.margin.fix),
                       percent(costs.margin.width));
}

std::string runs_text(const std::vector<plan::RunOfLegs>& runs) {
    std::string text;
    for (const plan::RunOfLegs& run : runs) {
        text += fmt::format("    {}{}{}, {:.1f} NM\n", run.via, run.from.empty() ? "" : " from " + run.from,
                            run.to.empty() ? "" : " to " + run.to, run.length.nautical_miles());
    }
    return text;
}

std::string way_text(const std::string& way, const std::string& approach, base::Altitude cruise,
                     base::Length distance) {
    return detail::wrapped(
               fmt::format("{}{}, {:.0f} ft, {:.0f} NM", way, approach.empty() ? "" : ", " + approach,
                           cruise.feet(), distance.nautical_miles()),
               100, "  ") +
           "\n";
}

std::string standing_text(plan::Standing standing) {
    return standing == plan::Standing::neither ? "neither better nor worse"
                                               : std::string(plan::to_text(standing));
}

std::string number_of(std::size_t at) {
    return fmt::format("offered {}", at + 1);
}

std::string tightest_text(const flight::Margin& margin) {
    std::string text;
    for (const std::string* each : {&margin.reception_at, &margin.fix_at, &margin.width_at}) {
        text += each->empty() ? "" : detail::wrapped("    " + *each, 100, "      ") + "\n";
    }
    return text;
}

}  // namespace

std::string why_text(const navdata::Snapshot& world, const plan::HandMadeRequest& request,
                     const plan::Option& by_hand, const plan::Why& why, const std::string& reception,
                     bool everything) {
    std::string text =
        fmt::format("{} to {}: {}\n{}, wind {}\nreception: {}\n{}\n", world[request.flight.from].ident,
                    world[request.flight.to].ident, detail::wrapped(flight::to_text(request.route), 84, "  "),
                    request.flight.aircraft.name, weather::to_text(request.flight.winds), reception,
                    detail::asked_text(world, request.flight));
    for (const std::string& sentence : why.says) {
        text += detail::wrapped(sentence, 100, "  ") + "\n";
    }
    const bool the_same = why.standing == plan::Standing::the_same;
    const std::size_t told = everything ? why.offered.size()
                             : the_same ? 0
                                        : std::min<std::size_t>(why.offered.size(), 1);
    text += "\nbeside each other       time    work   reception    fix   width\n";
    text += costs_text("by hand", why.costs);
    for (std::size_t i = 0; i < told; ++i) {
        text += costs_text(number_of(i), why.offered[i].costs);
    }
    text += "\n" +
            way_text("by hand: " + why.route, by_hand.flight.approach, by_hand.flight.cruise,
                     by_hand.compiled.track.length) +
            tightest_text(why.costs.margin);
    for (std::size_t i = 0; i < told; ++i) {
        const plan::BesideOffered& each = why.offered[i];
        text += way_text(number_of(i) + ": " + each.route, each.approach, each.cruise, each.distance) +
                tightest_text(each.costs.margin) +
                fmt::format("  beside it the way by hand is {}\n", standing_text(each.standing));
        text += each.only_by_hand.empty() ? "" : "  only by hand\n" + runs_text(each.only_by_hand);
        text += each.only_offered.empty() ? "" : "  only offered\n" + runs_text(each.only_offered);
    }
    // The first is told already where it is the way by hand.
    const std::size_t untold = why.offered.size() - std::max<std::size_t>(told, the_same ? 1 : 0);
    if (untold > 0) {
        text += fmt::format("{} {} offered too (--all shows {})\n", untold, untold == 1 ? "is" : "are",
                            untold == 1 ? "it" : "them");
    }
    if (everything && !why.blocking.empty()) {
        text += "\nwhat blocks\n" + detail::findings_text(why.blocking, true);
    } else if (why.blocking.size() > plan::blocks_told) {
        text += "--all lists everything that blocks\n";
    }
    return text + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
