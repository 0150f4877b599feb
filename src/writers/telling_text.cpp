#include "writers/telling_text.hpp"

#include <cmath>

#include <fmt/format.h>

#include "plan/wording.hpp"

namespace omniway::writers {

namespace {

using navdata::Snapshot;

std::string lack_text(fixing::Obstacle obstacle) {
    using fixing::Obstacle;
    switch (obstacle) {
        case Obstacle::no_second_receiver:
            return "no receiver is free for it";
        case Obstacle::no_localizer_receiver:
            return "no receiver that takes localizers is free for it";
        case Obstacle::no_dme:
            return "no DME aboard";
        case Obstacle::no_free_dme:
            return "its DME follows the guiding receiver";
        case Obstacle::no_adf:
            return "no ADF aboard";
        case Obstacle::no_second_adf:
            return "no second ADF aboard";
        default:
            return "";
    }
}

std::string way_block(const Snapshot& world, const plan::ReachedOn& line, std::size_t i) {
    const fixing::CataloguedWay& way = line.catalogue.ways[i];
    std::string text =
        fmt::format("  {:>2}  {:<38} within {:.2f} NM", i + 1, plan::way_text(world, way.telling.way),
                    way.telling.along_error.nautical_miles());
    const bool crosses = std::holds_alternative<fixing::CrossingRadial>(way.telling.way) ||
                         std::holds_alternative<fixing::CrossingBearing>(way.telling.way) ||
                         std::holds_alternative<fixing::CrossingLocalizer>(way.telling.way);
    if (crosses) {
        text += fmt::format(", crossing at {:.0f} degrees", way.telling.crossing.degrees());
    }
    if (way.area) {
        text += fmt::format(
            "\n      area {:.2f} NM short of it, {:.2f} beyond, {:.2f} left, {:.2f} right; {:.2f} square NM",
            way.area->short_of.nautical_miles(), way.area->beyond.nautical_miles(),
            way.area->left.nautical_miles(), way.area->right.nautical_miles(), way.area->square_nm);
    } else {
        text += "\n      no area: nothing bounds it across the track";
    }
    const std::string needs = plan::needs_text(way.needs);
    text += needs.empty() ? "" : "; needs " + needs;
    if (!line.lacks.empty() && line.lacks[i]) {
        text += ": " + lack_text(*line.lacks[i]);
    } else if (line.used == i) {
        text += "; the one a plan takes";
    }
    return text + "\n";
}

}  // namespace

std::string telling_text(const Snapshot& world, const plan::FixReport& report) {
    const plan::FixRequest& request = report.request;
    std::string text = fmt::format("{} {}, by {} tolerances (95 %)", world.ident(request.point),
                                   earth::to_text(world.position(request.point)),
                                   request.criteria == radio::Criteria::terps ? "TERPS" : "PANS-OPS");
    text += request.aircraft ? fmt::format(", aboard {}\n", request.aircraft->name) : "\n";
    if (const auto& two = report.two_lines) {
        text +=
            fmt::format("two lines cross well here from {:.0f} ft: {} and {}, at {:.0f} degrees{}\n",
                        std::ceil(two->altitude.feet()), world[two->one].ident, world[two->other].ident,
                        two->crossing.degrees(), two->ground_known ? "" : " (ground not known on the way)");
    } else {
        text += "no two lines cross well here at any altitude\n";
    }
    if (report.lines.empty()) {
        text += "no airway runs through it and no aid is heard there\n";
    }
    for (const plan::ReachedOn& line : report.lines) {
        text += fmt::format("\n{}, {:.0f} ft\n", plan::line_text(world, line), line.altitude.feet());
        if (line.catalogue.ways.empty()) {
            text += "      cannot be told\n";
        }
        for (std::size_t i = 0; i < line.catalogue.ways.size(); ++i) {
            text += way_block(world, line, i);
        }
        if (request.aircraft && !line.used && !line.catalogue.ways.empty()) {
            text += "      none of these is aboard\n";
        }
        for (const fixing::Refusal& refusal : line.catalogue.refused) {
            text += "   -  " + fixing::to_text(world, refusal) + "\n";
        }
    }
    return text;
}

}  // namespace omniway::writers
