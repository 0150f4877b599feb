#include "writers/detail/procedure_lines.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earth/geodesic.hpp"

namespace omniway::writers::detail {

namespace {

struct Stroke {
    std::string_view flown;
    std::string_view missed;
};

Stroke stroke_of(LinePattern pattern) {
    switch (pattern) {
        case LinePattern::radial:
            return {"", "14 5"};
        case LinePattern::beacon:
            return {"9 4", "7 7"};
        case LinePattern::localizer:
            return {"", "14 5"};
        case LinePattern::arc:
            return {"14 3 2 3", "14 4 2 4 2 4"};
        case LinePattern::heading:
            break;
    }
    return {"2 4", "1.5 6"};
}

// Two legs whose lines would cover each other: between the same places, as long, and on the same kind of guidance.
bool is_drawn_by(const plan::ReportedLeg& other, const plan::ReportedLeg& leg) {
    const base::Length same_place = base::Length::nautical_miles(0.2);
    const auto apart = [](const procedure::OnTrack& one, const procedure::OnTrack& two) {
        return earth::distance(one.place, two.place);
    };
    return other.missed == leg.missed && other.flyable() == leg.flyable() &&
           pattern_of(other.placed->guidance) == pattern_of(leg.placed->guidance) &&
           abs(other.flown.length() - leg.flown.length()) < same_place &&
           apart(procedure::start_of(other.flown.pieces.front()),
                 procedure::start_of(leg.flown.pieces.front())) < same_place &&
           apart(procedure::finish_of(other.flown.pieces.back()),
                 procedure::finish_of(leg.flown.pieces.back())) < same_place;
}

}  // namespace

LinePattern pattern_of(const procedure::Guidance& guidance) {
    struct Of {
        LinePattern operator()(const procedure::OnRadial&) const { return LinePattern::radial; }
        LinePattern operator()(const procedure::OnBeacon&) const { return LinePattern::beacon; }
        LinePattern operator()(const procedure::OnLocalizer&) const { return LinePattern::localizer; }
        LinePattern operator()(const procedure::OnArc&) const { return LinePattern::arc; }
        LinePattern operator()(const procedure::OnHeading&) const { return LinePattern::heading; }
    };
    return std::visit(Of{}, guidance);
}

std::string_view words_of(LinePattern pattern) {
    switch (pattern) {
        case LinePattern::radial:
            return "on a VOR radial";
        case LinePattern::beacon:
            return "on an NDB bearing";
        case LinePattern::localizer:
            return "on a localizer";
        case LinePattern::arc:
            return "on a DME arc";
        case LinePattern::heading:
            break;
    }
    return "nothing guides: by heading";
}

void draw_leg(Drawing& drawing, const std::vector<Point>& points, LinePattern pattern, bool missed,
              const std::string& id, const std::string& title) {
    const Stroke stroke = stroke_of(pattern);
    const std::string_view dashes = missed ? stroke.missed : stroke.flown;
    const bool twofold = pattern == LinePattern::localizer;
    const double width = twofold ? (missed ? 3.2 : 4.4) : (missed ? 1.2 : 2.2);
    const std::string dashed = dashes.empty() ? "" : fmt::format(" stroke-dasharray=\"{}\"", dashes);
    drawing.line(
        points,
        fmt::format("{}stroke=\"black\" stroke-width=\"{:g}\" stroke-linejoin=\"round\"{}",
                    id.empty() ? "" : fmt::format("id=\"{}\" class=\"leg\" ", escaped(id)), width, dashed),
        title);
    if (twofold) {
        drawing.line(points, fmt::format("stroke=\"white\" stroke-width=\"{:g}\"", missed ? 1.4 : 1.8));
    }
}

std::vector<DrawnLeg> drawn_legs(const plan::ProcedureReport& report) {
    std::vector<DrawnLeg> all;
    for (const plan::ReportedWay& way : report.ways) {
        for (const plan::ReportedLeg& leg : way.legs) {
            if (leg.flown.pieces.empty()) {
                continue;
            }
            if (std::any_of(all.begin(), all.end(),
                            [&](const DrawnLeg& other) { return is_drawn_by(*other.leg, leg); })) {
                continue;
            }
            all.push_back(
                {&way, &leg,
                 fmt::format("leg-{}-{}", 1 + (&way - report.ways.data()), 1 + (&leg - way.legs.data()))});
        }
    }
    return all;
}

std::string leg_label(const plan::ReportedLeg& leg) {
    if (leg.coded == nullptr) {
        return "own navigation";
    }
    return fmt::format("{:03} {}{}", leg.coded->sequence, navdata::to_text(leg.coded->terminator),
                       leg.coded->fix ? " " + leg.coded->fix->ident : std::string());
}

}  // namespace omniway::writers::detail
