#include "radio/service_volume.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "radio/line_of_sight.hpp"

namespace omniway::radio {

using base::Angle;
using base::Length;
using navdata::ServiceClass;

namespace {

constexpr VolumeBand including(double from_ft, double to_ft, double radius_nm) {
    return {Length::feet(from_ft), Length::feet(to_ft), true, Length::nautical_miles(radius_nm)};
}
constexpr VolumeBand below(double from_ft, double to_ft, double radius_nm) {
    return {Length::feet(from_ft), Length::feet(to_ft), false, Length::nautical_miles(radius_nm)};
}
constexpr VolumeBand in_sight_below(double to_ft) {
    return {Length(), Length::feet(to_ft), false, std::nullopt};
}
constexpr VolumeBand at_every_height(double radius_nm) {
    return {Length(), std::nullopt, true, Length::nautical_miles(radius_nm)};
}

// AIM table 1-1-1 (trade-facts 1.1, [seen] but for the DL/DH rows above 12,900 ft, [memory]).
constexpr VolumeBand terminal_bands[] = {including(1000, 12000, 25)};
constexpr VolumeBand low_bands[] = {including(1000, 18000, 40)};
constexpr VolumeBand high_bands[] = {including(1000, 14500, 40), including(14500, 60000, 100),
                                     including(18000, 45000, 130)};
constexpr VolumeBand vor_low_bands[] = {below(1000, 5000, 40), below(5000, 18000, 70)};
constexpr VolumeBand vor_high_bands[] = {below(1000, 5000, 40), below(5000, 14500, 70),
                                         including(14500, 60000, 100), including(18000, 45000, 130)};
constexpr VolumeBand dme_low_bands[] = {in_sight_below(12900), below(12900, 18000, 130)};
constexpr VolumeBand dme_high_bands[] = {in_sight_below(12900), including(12900, 60000, 100),
                                         including(12900, 45000, 130)};
// AIM table 1-1-2 (trade-facts 1.2, [seen]), and the inner sector of AIM 1-1-9.
constexpr VolumeBand compass_locator_bands[] = {at_every_height(15)};
constexpr VolumeBand ndb_medium_bands[] = {at_every_height(25)};
constexpr VolumeBand ndb_bands[] = {at_every_height(50)};
constexpr VolumeBand ndb_high_bands[] = {at_every_height(75)};
constexpr VolumeBand localizer_bands[] = {at_every_height(18)};

constexpr Length lower_edge = Length::feet(1000.0);

bool holds(const VolumeBand& band, Length height) {
    return height >= band.from && (!band.to || height < *band.to || (band.to_included && height == *band.to));
}

Length radius_at(const VolumeBand& band, Length height) {
    return band.radius.value_or(line_of_sight(height, Length()));
}

std::optional<Length> widest(std::span<const VolumeBand> bands, Length height) {
    std::optional<Length> radius;
    for (const VolumeBand& band : bands) {
        if (holds(band, height)) {
            radius = std::max(radius.value_or(Length()), radius_at(band, height));
        }
    }
    return radius;
}

// "1,000": feet as charts print them.
std::string thousands(Length height) {
    const int feet = static_cast<int>(height.feet() + 0.5);
    return feet < 1000 ? std::to_string(feet) : fmt::format("{},{:03}", feet / 1000, feet % 1000);
}

std::string band_text(const VolumeBand& band) {
    if (!band.radius) {
        return fmt::format("line of sight below {} ft", thousands(*band.to));
    }
    const double radius = band.radius->nautical_miles();
    return fmt::format("{:.0f} NM from {} to {}{} ft", radius, thousands(band.from),
                       band.to_included ? "" : "below ", thousands(*band.to));
}

std::string power_text(ServiceClass service) {
    switch (service) {
        case ServiceClass::compass_locator:
            return "below 25 W";
        case ServiceClass::ndb_medium:
            return "below 50 W";
        case ServiceClass::ndb:
            return "50 to 1,999 W";
        case ServiceClass::ndb_high:
            return "2,000 W and more";
        default:
            return {};
    }
}

}  // namespace

std::span<const VolumeBand> service_bands(ServiceClass service) {
    switch (service) {
        case ServiceClass::unknown:
            break;
        case ServiceClass::terminal:
            return terminal_bands;
        case ServiceClass::low:
            return low_bands;
        case ServiceClass::high:
            return high_bands;
        case ServiceClass::vor_low:
            return vor_low_bands;
        case ServiceClass::vor_high:
            return vor_high_bands;
        case ServiceClass::dme_low:
            return dme_low_bands;
        case ServiceClass::dme_high:
            return dme_high_bands;
        case ServiceClass::compass_locator:
            return compass_locator_bands;
        case ServiceClass::ndb_medium:
            return ndb_medium_bands;
        case ServiceClass::ndb:
            return ndb_bands;
        case ServiceClass::ndb_high:
            return ndb_high_bands;
        case ServiceClass::localizer:
            return localizer_bands;
    }
    return {};
}

std::optional<Length> service_radius(ServiceClass service, Length above_transmitter) {
    const std::span<const VolumeBand> bands = service_bands(service);
    if (!bands.empty() && !bands.front().to) {
        return bands.front().radius;  // from below the transmitter too
    }
    // Of the classes whose rows begin at 1,000 ft: the curve below.
    if (!bands.empty() && above_transmitter < bands.front().from) {
        return std::min(*widest(bands, lower_edge), line_of_sight(above_transmitter, Length()));
    }
    return widest(bands, above_transmitter);
}

ServiceClass smallest_of(AidKind kind) {
    switch (kind) {
        case AidKind::vor:
        case AidKind::distance:
            return ServiceClass::terminal;
        case AidKind::ndb:
            return ServiceClass::compass_locator;
        case AidKind::localizer:
            return ServiceClass::localizer;
    }
    return ServiceClass::terminal;
}

ServiceClass known_or_smallest(ServiceClass service, AidKind kind) {
    return service == ServiceClass::unknown ? smallest_of(kind) : service;
}

std::string volume_text(ServiceClass service) {
    const std::span<const VolumeBand> bands = service_bands(service);
    if (bands.empty()) {
        return {};
    }
    if (service == ServiceClass::localizer) {
        return "18 NM within 10 degrees of its course, 10 NM within 35, up to 4,500 ft above its antenna";
    }
    if (!bands.front().to) {
        return fmt::format("{:.0f} NM at every height ({})", bands.front().radius->nautical_miles(),
                           power_text(service));
    }
    std::string text;
    for (const VolumeBand& band : bands) {
        text += (text.empty() ? "" : ", ") + band_text(band);
    }
    return text + " above it";
}

std::optional<Length> localizer_radius(Angle off_course) {
    if (off_course <= Angle::degrees(10.0)) {
        return Length::nautical_miles(18.0);
    }
    return off_course <= Angle::degrees(35.0) ? std::optional(Length::nautical_miles(10.0)) : std::nullopt;
}

LocalizerAltitudes localizer_altitudes(base::Altitude antenna,
                                       std::optional<base::Altitude> highest_terrain_on_course) {
    LocalizerAltitudes found{std::nullopt, antenna + Length::feet(4500.0)};
    if (highest_terrain_on_course) {
        found.lowest = *highest_terrain_on_course + Length::feet(1000.0);
    }
    return found;
}

GlideslopeVolume glideslope_volume(const GlideslopePlace& place, Angle glideslope) {
    if (place.distance > Length::nautical_miles(10.0)) {
        return GlideslopeVolume::beyond;
    }
    if (place.off_course > Angle::degrees(8.0)) {
        return GlideslopeVolume::beside;
    }
    if (place.elevation < glideslope * 0.45) {
        return GlideslopeVolume::below;
    }
    return place.elevation > glideslope * 1.75 ? GlideslopeVolume::above : GlideslopeVolume::inside;
}

}  // namespace omniway::radio
