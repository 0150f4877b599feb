#include "writers/rehearsal_gpx.hpp"

#include <chrono>
#include <cmath>

#include "writers/track_gpx.hpp"

namespace omniway::writers {

namespace {

constexpr base::Duration noon = std::chrono::hours(12);

// Of a decimal year the day that has just begun.
std::chrono::sys_days day_of(earth::DecimalYear year) {
    using namespace std::chrono;
    const int whole = static_cast<int>(std::floor(year.value));
    const sys_days first{std::chrono::year(whole) / 1 / 1};
    const sys_days next{std::chrono::year(whole + 1) / 1 / 1};
    return first + days(std::lround((year.value - whole) * static_cast<double>((next - first).count())));
}

}  // namespace

std::string rehearsal_gpx(const rehearsal::Stage& stage, std::span<const rehearsal::Moment> moments,
                          const std::string& name, earth::DecimalYear day) {
    earth::FlownTrack track;
    track.name = name;
    track.day = day_of(day);
    for (const rehearsal::Moment& moment : moments) {
        earth::TrackPoint point;
        point.time = noon + base::Duration(moment.time_s);
        point.place = stage.frame().to_position(moment.place);
        point.altitude = base::Altitude::metres(moment.altitude_m);
        track.points.push_back(point);
    }
    return track_gpx(track);
}

}  // namespace omniway::writers
