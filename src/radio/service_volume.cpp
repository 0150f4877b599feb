#include "radio/service_volume.hpp"

#include <algorithm>
#include <span>

#include "radio/line_of_sight.hpp"

namespace omniway::radio {

using base::Length;
using navdata::ServiceClass;

namespace {

struct Band {
    double from_ft;
    double below_ft;
    bool upper_included;
    double radius_nm;
};

// AIM table 1-1-1 (trade-facts 1.1, [seen] but for the DL/DH rows above 12,900 ft, [memory]).
constexpr Band terminal_bands[] = {{1000, 12000, true, 25}};
constexpr Band low_bands[] = {{1000, 18000, true, 40}};
constexpr Band high_bands[] = {{1000, 14500, true, 40}, {14500, 60000, true, 100}, {18000, 45000, true, 130}};
constexpr Band vor_low_bands[] = {{1000, 5000, false, 40}, {5000, 18000, false, 70}};
constexpr Band vor_high_bands[] = {
    {1000, 5000, false, 40}, {5000, 14500, false, 70}, {14500, 60000, true, 100}, {18000, 45000, true, 130}};
constexpr Band dme_low_bands[] = {{12900, 18000, false, 130}};
constexpr Band dme_high_bands[] = {{12900, 60000, true, 100}, {12900, 45000, true, 130}};

std::optional<Length> widest(std::span<const Band> bands, double height_ft) {
    double radius = 0.0;
    for (const Band& band : bands) {
        if (height_ft >= band.from_ft &&
            (height_ft < band.below_ft || (band.upper_included && height_ft <= band.below_ft))) {
            radius = std::max(radius, band.radius_nm);
        }
    }
    return radius > 0.0 ? std::optional(Length::nautical_miles(radius)) : std::nullopt;
}

std::optional<Length> with_lower_edge(std::span<const Band> bands, Length height) {
    if (height.feet() >= 1000.0) {
        return widest(bands, height.feet());
    }
    return std::min(*widest(bands, 1000.0), line_of_sight(height, Length()));
}

std::optional<Length> with_line_of_sight_below(std::span<const Band> bands, Length height) {
    return height.feet() < 12900.0 ? std::optional(line_of_sight(height, Length()))
                                   : widest(bands, height.feet());
}

}  // namespace

std::optional<Length> service_radius(ServiceClass service, Length above_transmitter) {
    switch (service) {
        case ServiceClass::unknown:
            return std::nullopt;
        case ServiceClass::terminal:
            return with_lower_edge(terminal_bands, above_transmitter);
        case ServiceClass::low:
            return with_lower_edge(low_bands, above_transmitter);
        case ServiceClass::high:
            return with_lower_edge(high_bands, above_transmitter);
        case ServiceClass::vor_low:
            return with_lower_edge(vor_low_bands, above_transmitter);
        case ServiceClass::vor_high:
            return with_lower_edge(vor_high_bands, above_transmitter);
        case ServiceClass::dme_low:
            return with_line_of_sight_below(dme_low_bands, above_transmitter);
        case ServiceClass::dme_high:
            return with_line_of_sight_below(dme_high_bands, above_transmitter);
        case ServiceClass::compass_locator:
            return Length::nautical_miles(15);
        case ServiceClass::ndb_medium:
            return Length::nautical_miles(25);
        case ServiceClass::ndb:
            return Length::nautical_miles(50);
        case ServiceClass::ndb_high:
            return Length::nautical_miles(75);
        case ServiceClass::localizer:
            return Length::nautical_miles(18);
    }
    return std::nullopt;
}

ServiceClass smallest_of(AidKind kind) {
    switch (kind) {
        case AidKind::vor:
        case AidKind::distance:
            return ServiceClass::terminal;
        case AidKind::ndb:
            return ServiceClass::compass_locator;
    }
    return ServiceClass::terminal;
}

}  // namespace omniway::radio
