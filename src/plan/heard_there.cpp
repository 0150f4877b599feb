#include "plan/heard_there.hpp"

#include "radio/prepared_reception.hpp"

namespace omniway::plan {

HeardThere heard_there(const navdata::Snapshot& world, const radio::Ground& ground,
                       navdata::StationId station, const fixing::Belief& belief, earth::Position likeliest,
                       base::Altitude altitude) {
    constexpr int draws = 400;
    const radio::PreparedReception reception(world[station], radio::Part::azimuth, ground);
    HeardThere heard{altitude, reception.at(likeliest, altitude), 0.0};
    double all = 0.0;
    for (const fixing::BelievedCell& cell : belief.cells) {
        all += cell.probability;
    }
    if (!(all > 0.0)) {
        heard.share = heard.here.heard() ? 1.0 : 0.0;
        return heard;
    }
    // One draw in the middle of each of as many equal parts of the probability, the cells in their order.
    double until = 0.0;
    int drawn = 0;
    int heard_of = 0;
    for (const fixing::BelievedCell& cell : belief.cells) {
        until += cell.probability / all;
        const int before = drawn;
        while (drawn < draws && (drawn + 0.5) / draws <= until) {
            ++drawn;
        }
        if (drawn > before && reception.at(belief.frame.to_position(cell.centre), altitude).heard()) {
            heard_of += drawn - before;
        }
    }
    heard.share = drawn > 0 ? static_cast<double>(heard_of) / drawn : 0.0;
    return heard;
}

}  // namespace omniway::plan
