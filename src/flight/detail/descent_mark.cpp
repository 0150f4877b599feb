#include "flight/detail/descent_mark.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "flight/detail/heights.hpp"
#include "flight/detail/paper.hpp"

namespace omniway::flight::detail {

namespace {

class Marker {
public:
    Marker(const Circumstances& in, const FlightTrack& track, int number, base::Length along,
           const std::vector<FlownStep>& steps, ObservedEnds& ends, base::Altitude left, std::string purpose)
        : in_(in),
          begins_at_(track.begins_at),
          left_(left),
          purpose_(std::move(purpose)),
          steps_(steps),
          ends_(ends) {
        const auto found = std::find_if(steps.begin(), steps.end(),
                                        [&](const FlownStep& step) { return step.track->number == number; });
        mark_.step = static_cast<std::size_t>(found - steps.begin());
        const FlownStep& step = *found;
        const double share =
            step.track->length > base::Length() ? (along - step.begins_along) / step.track->length : 0.0;
        mark_.at = step.begin + step.takes() * std::clamp(share, 0.0, 1.0);
    }

    AltitudeLeft left(const DescentMark& mark, Changeovers changeovers) {
        const auto* way = std::get_if<fixing::Way>(&mark);
        return way != nullptr && changeovers == Changeovers::by_reading ? by_way(*way) : by_time();
    }

private:
    AltitudeLeft by_way(const fixing::Way& way) {
        const std::string mark = std::visit([this](const auto& each) { return told(each); }, way);
        return say(mark);
    }

    // From the last end that is told, which is a place where the clock can be started.
    AltitudeLeft by_time() {
        std::size_t since = mark_.step;
        while (since > 0 && std::holds_alternative<ChangeOver>(ends_.of[since - 1].end)) {
            --since;
        }
        if (since == 0 && mark_.at.count() < 1.0) {
            return say("at once");
        }
        if (since == 0) {
            ends_.clock_when_lined_up = true;
            return say(after(mark_.at, begins_at_));
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

    static std::string after(base::Duration time, const std::string& name) {
        const long seconds = std::lround(time.count());
        return fmt::format("{}:{:02} after {}", seconds / 60, seconds % 60, name);
    }
    AltitudeLeft say(const std::string& mark) {
        mark_.says = fmt::format("leave {} ft {}{}", thousands(left_), mark, purpose_);
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
    const std::string& begins_at_;
    base::Altitude left_;
    std::string purpose_;
    const std::vector<FlownStep>& steps_;
    ObservedEnds& ends_;
    AltitudeLeft mark_;
};

}  // namespace

std::vector<AltitudeLeft> altitudes_left(const Circumstances& circumstances, const FlightTrack& track,
                                         const std::vector<FlownStep>& steps, Changeovers changeovers,
                                         ObservedEnds& ends) {
    std::vector<AltitudeLeft> all;
    for (const ClimbEvent& event : track.climbs) {
        const LevelChange& change = event.change;
        if (change.mark) {
            const std::string purpose =
                fmt::format(" to be level at {} ft over {}", thousands(change.to), change.at);
            Marker marker(circumstances, track, event.step, change.begins, steps, ends, change.from, purpose);
            all.push_back(marker.left(*change.mark, changeovers));
        }
    }
    if (track.descent) {
        const TopOfDescent& top = track.descent->top;
        Marker marker(circumstances, track, track.descent->step, top.along, steps, ends, top.altitude, "");
        all.push_back(marker.left(top.mark, changeovers));
    }
    return all;
}

}  // namespace omniway::flight::detail
