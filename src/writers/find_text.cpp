#include "writers/find_text.hpp"

#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "earth/terrain.hpp"
#include "plan/wording.hpp"
#include "weather/wind.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/findings_text.hpp"
#include "writers/detail/what_now_text.hpp"

namespace omniway::writers {

using navdata::Snapshot;

namespace {

constexpr std::size_t columns = 96;

std::string percent(double share) {
    const double of_hundred = share * 100.0;
    return of_hundred > 0.0 && of_hundred < 1.0 ? "less than 1 %"
           : of_hundred > 99.0 && share < 1.0   ? "more than 99 %"
                                                : fmt::format("{:.0f} %", of_hundred);
}

std::string area(double square_nm) {
    return fmt::format("{:.{}f} sq NM", square_nm, square_nm < 10.0 ? 1 : 0);
}

std::string line(const std::string& text, const std::string& indent) {
    return detail::wrapped(text, columns, indent) + "\n";
}

std::string by_text(const Snapshot& world, const std::optional<plan::ByStation>& by) {
    if (!by) {
        return "no VOR is heard there";
    }
    const navdata::Station& station = world[by->station];
    const std::string aid =
        fmt::format("{} {} {}", navdata::kind_text(station), station.ident, navdata::frequency_text(station));
    return by->slant_range
               ? fmt::format("radial {}, {:.1f} DME of {}", plan::three_figures(by->radial.degrees()),
                             by->slant_range->nautical_miles(), aid)
               : fmt::format("radial {}, {:.1f} NM from {}, no DME",
                             plan::three_figures(by->radial.degrees()), by->over_ground.nautical_miles(),
                             aid);
}

std::string card_text(const plan::AgainstCard& card) {
    const double aside_nm = std::abs(card.aside.nautical_miles());
    const std::string aside = aside_nm < 0.05 ? "on the line"
                                              : fmt::format("{:.1f} NM {} of the line", aside_nm,
                                                            card.aside > base::Length() ? "right" : "left");
    return fmt::format("step {} of the card{}: {}, {:.1f} NM to its end", card.step,
                       card.to.empty() ? "" : ", to " + card.to, aside, card.to_end.nautical_miles());
}

std::string read_text(const fixing::BeliefQuestion& question, const plan::PositionSetting& setting) {
    std::string text;
    for (const fixing::Reading& reading : question.readings) {
        text += (text.empty() ? "" : ", ") + reading.words;
    }
    if (question.last_known) {
        text += fmt::format("{}within {:.1f} NM of {} at {}", text.empty() ? "" : ", ",
                            question.last_known->within.nautical_miles(),
                            earth::to_text(question.last_known->place),
                            plan::read_at_text(setting, question.last_known->before));
    }
    if (question.on_the_way) {
        text += fmt::format("{}somewhere along {}", text.empty() ? "" : ", ", setting.card);
    }
    std::string page = line("read: " + text, "      ");
    std::string with = fmt::format("{:.0f} ft", question.altitude.feet());
    for (const fixing::HeadingFlown& flown : question.flown) {
        with += ", heading " + plan::three_figures(flown.heading.degrees());
        with +=
            flown.before > base::Duration(0.0) ? " from " + plan::read_at_text(setting, flown.before) : "";
    }
    if (!question.flown.empty()) {
        with += fmt::format(", {:.0f} kt", question.flown.back().true_airspeed.knots());
        with += setting.wind_known
                    ? ", wind " + weather::to_text(weather::Wind{question.air.from, question.air.speed})
                    : std::string(", wind not known");
        with += fmt::format(" within {:.0f} kt", question.air.uncertainty.knots());
    }
    page += line("with: " + with, "      ");
    const bool terrain = question.ground.terrain != nullptr && !question.ground.terrain->empty();
    page += line("reception: " + plan::reception_text(question.ground.mode, terrain), "      ");
    return page;
}

std::string place_text(const Snapshot& world, const fixing::Mode& mode, const plan::PlaceReport& report) {
    std::string text =
        mode.is_mean ? "" : "no one place: a ring or a bow is left open, and this is the likeliest of it\n";
    text += line(earth::to_text(mode.place) + ": " + by_text(world, report.by), "  ");
    if (report.on_card) {
        text += line("  " + card_text(*report.on_card), "  ");
    }
    return text;
}

std::string region_text(const char* name, const fixing::BelievedRegion& region, base::Length extent) {
    const std::size_t pieces = region.rings.size();
    return fmt::format("  {}: {}, {:.1f} NM from end to end{}\n", name, area(region.square_nm),
                       extent.nautical_miles(), pieces > 1 ? fmt::format(", in {} rings", pieces) : "");
}

template <class Which>
std::string suspicions_text(const fixing::BeliefQuestion& question, const fixing::Belief& belief,
                            const char* title, const Which& which) {
    std::string text;
    for (const fixing::Suspicion& each : belief.suspicions) {
        if (which(each)) {
            text += text.empty() ? fmt::format("\n{}\n", title) : "";
            text += line(fmt::format("    {:>3.0f} %  {}", each.probability * 100.0,
                                     plan::suspicion_text(question.world, question.readings, each)),
                         "           ");
        }
    }
    return text;
}

std::string believed_text(const fixing::BeliefQuestion& question, const fixing::Belief& belief,
                          const plan::PositionReport& report) {
    const Snapshot& world = question.world;
    std::string text;
    for (std::size_t i = 0; i < belief.modes.size(); ++i) {
        const fixing::Mode& mode = belief.modes[i];
        if (i == 0) {
            text += place_text(world, mode, report.places[i]);
            text += region_text("50 %", belief.half, report.half_extent);
            text += region_text("95 %", belief.most, report.most_extent);
            continue;
        }
        text += i == 1 ? fmt::format("  that place has {}; others that stand apart\n",
                                     percent(belief.modes[0].probability))
                       : "";
        text += line(fmt::format("    {:>3.0f} %  {}: {}", mode.probability * 100.0,
                                 earth::to_text(mode.place), by_text(world, report.places[i].by)),
                     "           ");
        if (report.places[i].on_card) {
            text += line("           " + card_text(*report.places[i].on_card), "             ");
        }
    }
    const auto of_stations = [](const fixing::Suspicion& each) {
        return each.wrong == fixing::Wrong::station;
    };
    text += suspicions_text(question, belief, "which station", of_stations);
    text += suspicions_text(question, belief, "what may be wrong", std::not_fn(of_stations));
    return text;
}

std::string next_text(const Snapshot& world, const plan::PositionReport& report) {
    if (report.next.empty()) {
        return "\ntune next: nothing is heard there that would tell more\n";
    }
    std::string text = "\ntune next\n";
    for (const fixing::NextReading& each : report.next) {
        const double gained =
            each.square_nm_now > 0.0 ? 1.0 - each.square_nm_expected / each.square_nm_now : 0.0;
        text += line(fmt::format("  {}: 95 % in {} in place of {} ({:.0f} % less){}",
                                 plan::next_text(world, each), area(each.square_nm_expected),
                                 area(each.square_nm_now), std::max(0.0, gained) * 100.0,
                                 each.heard < 0.995 ? ", heard with " + percent(each.heard) : ""),
                     "    ");
    }
    return text;
}

}  // namespace

std::string find_text(const fixing::BeliefQuestion& question, const plan::PositionSetting& setting,
                      const plan::PositionReport& report, const NowPage& now) {
    std::string text;
    if (const auto* contradiction = std::get_if<fixing::Contradiction>(&report.belief)) {
        text = line((contradiction->too_little ? "TOO LITTLE: " : "CANNOT BE: ") + contradiction->why, "  ");
    } else {
        text = believed_text(question, std::get<fixing::Belief>(report.belief), report) +
               next_text(question.world, report);
    }
    if (now.now != nullptr) {
        text += detail::what_now_text(*now.world, *now.now);
    }
    return text + "\n" + read_text(question, setting) + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
