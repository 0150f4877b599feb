#include "flight/detail/descent_mark.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "flight/detail/heights.hpp"
#include "flight/detail/paper.hpp"

namespace omniway::flight::detail {

namespace {

class Marker {
public:
    Marker(const Circumstances& in, const DescentEvent& event, const std::vector<FlownStep>& steps,
           ObservedEnds& ends)
        : in_(in), top_(event.top), steps_(steps), ends_(ends) {
        const auto found = std::find_if(steps.begin(), steps.end(), [&](const FlownStep& step) {
            return step.track->number == event.step;
        });
        mark_.step = static_cast<std::size_t>(found - steps.begin());
        const FlownStep& step = *found;
        const double share =
            step.track->length > base::Length() ? (top_.along - step.begins_along) / step.track->length : 0.0;
        mark_.at = step.begin + step.takes() * std::clamp(share, 0.0, 1.0);
    }

    DescentMarkOnCard by_way(const fixing::Way& way) {
        const std::string mark = std::visit([this](const auto& each) { return told(each); }, way);
        return say(mark);
    }

    // From the last end that is told, which is a place where the clock can be started.
    DescentMarkOnCard by_time() {
        std::size_t since = mark_.step;
        while (since > 0 && std::holds_alternative<ChangeOver>(ends_.of[since - 1].end)) {
            --since;
        }
        if (since == 0) {
            ends_.clock_when_lined_up = true;
            return say(after(mark_.at, "take-off"));
        }
        const FlownStep& from = steps_[since - 1];
        const std::string name =
            from.track->to.empty() ? event_name(ends_.of[since - 1].end) : from.track->to;
        const base::Duration time = mark_.at - from.end;
        if (time.count() < 1.0) {
            return say("at " + name);
        }
        ends_.of[since - 1].starts_clock = true;
        return say(after(time, name));
    }

private:
    static std::string after(base::Duration time, const std::string& name) {
        const long seconds = std::lround(time.count());
        return fmt::format("{}:{:02} after {}", seconds / 60, seconds % 60, name);
    }
    DescentMarkOnCard say(const std::string& mark) {
        mark_.says = fmt::format("leave {} ft {}", thousands(top_.altitude), mark);
        return mark_;
    }
    void need(SetKind kind, navdata::StationId station, std::optional<base::Radial> course = std::nullopt) {
        mark_.need = EndNeed{kind, station, course};
    }
    const std::string& ident(navdata::StationId id) const { return in_.world[id].ident; }

    std::string told(const fixing::Overhead& way) {
        const bool beacon = navdata::ndb(in_.world[way.station]) != nullptr;
        need(beacon ? SetKind::adf : SetKind::receiver, way.station);
        return "over " + ident(way.station);
    }
    std::string told(const fixing::DmeReading& way) {
        need(SetKind::dme, way.station);
        return fmt::format("at {:.1f} DME {}", tenths_of_a_mile(way.slant_range).nautical_miles(),
                           ident(way.station));
    }
    std::string told(const fixing::CrossingRadial& way) {
        const base::Radial course = whole_degrees(way.radial);
        need(SetKind::receiver, way.station, course);
        return fmt::format("when radial {:03.0f} {} centres",
                           course.degrees() == 0.0 ? 360.0 : course.degrees(), ident(way.station));
    }
    std::string told(const fixing::CrossingBearing& way) {
        need(SetKind::adf, way.station);
        const double degrees =
            whole_degrees(base::to_magnetic(way.to_station, steps_[mark_.step].variation_at_end)).degrees();
        return fmt::format("when {} bears {:03.0f}", ident(way.station), degrees == 0.0 ? 360.0 : degrees);
    }
    std::string told(const fixing::CrossingLocalizer& way) {
        need(SetKind::receiver, way.station);
        return fmt::format("when {} centres", ident(way.station));
    }

    const Circumstances& in_;
    const TopOfDescent& top_;
    const std::vector<FlownStep>& steps_;
    ObservedEnds& ends_;
    DescentMarkOnCard mark_;
};

}  // namespace

std::optional<DescentMarkOnCard> descent_mark(const Circumstances& circumstances, const FlightTrack& track,
                                              const std::vector<FlownStep>& steps, Changeovers changeovers,
                                              ObservedEnds& ends) {
    if (!track.descent) {
        return std::nullopt;
    }
    Marker marker(circumstances, *track.descent, steps, ends);
    const auto* way = std::get_if<fixing::Way>(&track.descent->top.mark);
    return way != nullptr && changeovers == Changeovers::by_reading ? marker.by_way(*way) : marker.by_time();
}

}  // namespace omniway::flight::detail
