#include "rehearsal/failures.hpp"

#include <fmt/format.h>

namespace omniway::rehearsal {

namespace {

struct Name {
    std::string operator()(const StationOffTheAir& station) const { return station.ident; }
    std::string operator()(const ReceiverDead& receiver) const {
        return fmt::format("NAV{}", receiver.number);
    }
    std::string operator()(const DmeDead&) const { return "DME"; }
    std::string operator()(const AdfDead&) const { return "ADF"; }
    std::string operator()(const GlideslopeDead&) const { return "glideslope"; }
    std::string operator()(const HeadingIndicatorStuck&) const { return "heading-indicator"; }
};

}  // namespace

std::string to_text(const FailingPart& part) {
    return std::visit(Name{}, part);
}

std::string to_text(const Failure& failure) {
    const std::string name = to_text(failure.part);
    if (const auto* step = std::get_if<FromStep>(&failure.from)) {
        return fmt::format("{} from step {}", name, step->number);
    }
    const double min = base::in_minutes(std::get<base::Duration>(failure.from));
    return min > 0.0 ? fmt::format("{} from {} min", name, min) : name + " all along";
}

}  // namespace omniway::rehearsal
