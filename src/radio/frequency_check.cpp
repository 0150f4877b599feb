#include "radio/frequency_check.hpp"

#include <fmt/format.h>

#include "cockpit/pairing.hpp"

namespace omniway::radio {

namespace {

// ICAO: 190 to 1,750 kHz (trade-facts 10.1, [seen]).
bool is_of_a_beacon(base::Frequency frequency) {
    return frequency.kilohertz() >= 190.0 && frequency.kilohertz() <= 1750.0;
}

bool is_of_a_channel(base::Frequency frequency) {
    return cockpit::paired_channel(frequency) || cockpit::stand_in_channel(frequency);
}

bool is_possible(const navdata::Station& station) {
    if (navdata::vor(station) != nullptr) {
        return cockpit::use_of(station.frequency) == cockpit::NavigationUse::vor;
    }
    if (navdata::localizer(station) != nullptr) {
        return cockpit::use_of(station.frequency) == cockpit::NavigationUse::localizer;
    }
    return navdata::ndb(station) != nullptr ? is_of_a_beacon(station.frequency)
                                            : is_of_a_channel(station.frequency);
}

}  // namespace

std::optional<std::string> frequency_fault(const navdata::Station& station) {
    if (is_possible(station)) {
        return std::nullopt;
    }
    return fmt::format("no {} can be on {} {}", navdata::kind_text(station), navdata::frequency_text(station),
                       navdata::ndb(station) != nullptr ? "kHz" : "MHz");
}

}  // namespace omniway::radio
