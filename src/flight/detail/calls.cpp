#include "flight/detail/calls.hpp"

#include <algorithm>
#include <string_view>

namespace omniway::flight::detail {

namespace {

using Words = std::vector<std::string_view>;

bool is_vhf(base::Frequency frequency) {
    return frequency >= base::Frequency::megahertz(118.0) && frequency < base::Frequency::megahertz(137.0);
}

std::vector<const navdata::Communication*> spoken_at(const navdata::Snapshot& world,
                                                     std::string_view airport) {
    std::vector<const navdata::Communication*> found;
    for (const navdata::Communication& each : world.communications()) {
        if (each.airport == airport && is_vhf(each.frequency)) {
            found.push_back(&each);
        }
    }
    return found;
}

// Of each service the first by the first of its words that is there.
std::vector<Call> calls(const std::vector<const navdata::Communication*>& spoken,
                        const std::vector<Words>& services) {
    std::vector<Call> found;
    for (const Words& words : services) {
        for (const std::string_view word : words) {
            const auto service = std::find_if(spoken.begin(), spoken.end(),
                                              [&](const auto* each) { return each->type == word; });
            if (service != spoken.end()) {
                found.push_back({(*service)->type, (*service)->name, (*service)->frequency});
                break;
            }
        }
    }
    return found;
}

}  // namespace

Calls calls_of(const navdata::Snapshot& world, const Flight& flight) {
    // The words of the data (OurAirports airport-frequencies.csv): common practice, no source defines them.
    const Words weather = {"ATIS", "AWOS", "ASOS"};
    const Words clearance = {"CLD"};
    const Words ground = {"GND"};
    const Words tower = {"TWR", "AFIS", "RDO", "CTAF", "ATF", "A/G", "UNIC"};
    const Words departure = {"DEP", "A/D", "APP", "RDR"};
    const Words approach = {"APP", "A/D", "RDR"};
    const auto from = spoken_at(world, world[flight.departure].ident);
    const auto to = spoken_at(world, world[flight.arrival].ident);
    if (flight.begun) {
        return {{}, {}, calls(to, {weather, approach}), calls(to, {tower})};
    }
    return {calls(from, {weather, clearance, ground, tower}), calls(from, {departure}),
            calls(to, {weather, approach}), calls(to, {tower})};
}

}  // namespace omniway::flight::detail
