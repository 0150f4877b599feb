#include "debrief/samples.hpp"

#include <algorithm>
#include <cmath>

namespace omniway::debrief {

namespace {

constexpr std::size_t most = 20000;
constexpr double either_side_s = 4.0;
constexpr double flying_mps = 30.0 * 1852.0 / 3600.0;

double metres_between(earth::PlanePoint a, earth::PlanePoint b) {
    return std::hypot(a.east_m - b.east_m, a.north_m - b.north_m);
}

}  // namespace

std::vector<Sample> samples_of(const earth::FlownTrack& track, const earth::LocalFrame& frame,
                               base::Duration longest_gap) {
    std::vector<Sample> samples;
    if (track.points.empty()) {
        return samples;
    }
    const double lasts_s = (track.points.back().time - track.points.front().time).count();
    const double between_s = std::max(1.0, lasts_s / static_cast<double>(most));
    for (const earth::TrackPoint& point : track.points) {
        const double time_s = point.time.count();
        constexpr double rounding_s = 1e-3;
        if (!samples.empty() && time_s < samples.back().time_s + between_s - rounding_s) {
            continue;
        }
        Sample sample;
        sample.time_s = time_s;
        sample.place = frame.to_plane(point.place);
        sample.altitude = point.altitude;
        if (!samples.empty()) {
            const double passed_s = time_s - samples.back().time_s;
            sample.after_gap = passed_s > longest_gap.count();
            samples.back().lasts_s = sample.after_gap ? 0.0 : passed_s;
        }
        samples.push_back(sample);
    }
    std::size_t first = 0;
    std::size_t last = 0;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        while (first < i && (samples[i].time_s - samples[first].time_s > either_side_s)) {
            ++first;
        }
        last = std::max(last, i);
        while (last + 1 < samples.size() && samples[last + 1].time_s - samples[i].time_s <= either_side_s) {
            ++last;
        }
        // Recorded seldom: the neighbours.
        std::size_t from = first == i && i > 0 ? i - 1 : first;
        std::size_t to = last == i && i + 1 < samples.size() ? i + 1 : last;
        for (std::size_t k = from + 1; k <= to; ++k) {
            if (samples[k].after_gap) {
                (k <= i ? from : to) = k <= i ? k : k - 1;
            }
        }
        if (from < to) {
            const double east = samples[to].place.east_m - samples[from].place.east_m;
            const double north = samples[to].place.north_m - samples[from].place.north_m;
            samples[i].track_rad = std::atan2(east, north);
            double way_m = 0.0;
            for (std::size_t k = from; k < to; ++k) {
                way_m += metres_between(samples[k].place, samples[k + 1].place);
            }
            const double scale = frame.scale(samples[i].place);
            samples[i].speed_mps = way_m / scale / (samples[to].time_s - samples[from].time_s);
        }
    }
    const auto flies = [](const Sample& sample) { return sample.speed_mps >= flying_mps; };
    const auto begin = std::find_if(samples.begin(), samples.end(), flies);
    const auto end = std::find_if(samples.rbegin(), samples.rend(), flies).base();
    if (begin >= end) {
        return {};
    }
    return {begin, end};
}

}  // namespace omniway::debrief
