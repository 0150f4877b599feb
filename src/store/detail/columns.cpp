#include "store/detail/columns.hpp"

namespace omniway::store::detail {

// Taken apart by name, so that a field added to an azimuth does not compile until it has its place here.
FlatAzimuth flat(const navdata::Azimuth& azimuth) {
    FlatAzimuth flat;
    flat.kind = static_cast<AzimuthKind>(azimuth.index());
    if (const auto* vor = std::get_if<navdata::VorAzimuth>(&azimuth)) {
        const auto& [position, declination, declination_from, service] = *vor;
        flat.position = position;
        flat.declination = declination;
        flat.declination_from = declination_from;
        flat.service = service;
    } else if (const auto* tacan = std::get_if<navdata::TacanAzimuth>(&azimuth)) {
        const auto& [position, declination] = *tacan;
        flat.position = position;
        flat.declination = declination;
    } else if (const auto* ndb = std::get_if<navdata::NdbAzimuth>(&azimuth)) {
        const auto& [position, variation, service] = *ndb;
        flat.position = position;
        flat.variation = variation;
        flat.service = service;
    } else if (const auto* localizer = std::get_if<navdata::LocalizerAzimuth>(&azimuth)) {
        const auto& [position, course, declination, width, runway, category, glideslope] = *localizer;
        flat.position = position;
        flat.course = course;
        flat.declination = declination;
        flat.width = width;
        flat.runway = runway;
        flat.category = category;
        if (glideslope) {
            const auto& [site, angle, elevation, crossing_height] = *glideslope;
            flat.glideslope_position = site;
            flat.glideslope_angle = angle;
            flat.glideslope_elevation = elevation;
            flat.glideslope_crossing_height = crossing_height;
        }
    }
    return flat;
}

std::string_view missing_column(const FlatAzimuth& flat) {
    const bool azimuth = flat.kind != AzimuthKind::none;
    const bool own_zero = azimuth && flat.kind != AzimuthKind::ndb;
    const bool vor = flat.kind == AzimuthKind::vor;
    const bool ndb = flat.kind == AzimuthKind::ndb;
    const bool localizer = flat.kind == AzimuthKind::localizer;
    if (azimuth && !flat.position) {
        return "azimuth_latitude_deg";
    }
    if ((vor || ndb) && !flat.service) {
        return "azimuth_service";
    }
    if (own_zero && !flat.declination) {
        return "declination_east_rad";
    }
    if (vor && !flat.declination_from) {
        return "declination_from";
    }
    if (ndb && !flat.variation) {
        return "variation_east_rad";
    }
    if (localizer && !flat.course) {
        return "localizer_course_deg";
    }
    if (localizer && !flat.runway) {
        return "localizer_runway";
    }
    if (localizer && !flat.category) {
        return "localizer_category";
    }
    if (localizer && flat.glideslope_position && !flat.glideslope_angle) {
        return "glideslope_angle_rad";
    }
    return {};
}

navdata::Azimuth round(const FlatAzimuth& flat) {
    const auto position = flat.position.value_or(earth::Position());
    const auto declination = flat.declination.value_or(base::Declination());
    const auto service = flat.service.value_or(navdata::ServiceClass::unknown);
    switch (flat.kind) {
        case AzimuthKind::none:
            return std::monostate{};
        case AzimuthKind::vor:
            return navdata::VorAzimuth{position, declination,
                                       flat.declination_from.value_or(navdata::DeclinationFrom::record),
                                       service};
        case AzimuthKind::tacan:
            return navdata::TacanAzimuth{position, declination};
        case AzimuthKind::ndb:
            return navdata::NdbAzimuth{position, flat.variation.value_or(base::Variation()), service};
        case AzimuthKind::localizer:
            break;
    }
    navdata::LocalizerAzimuth localizer;
    localizer.position = position;
    localizer.course = flat.course.value_or(base::Radial());
    localizer.declination = declination;
    localizer.width = flat.width;
    localizer.runway = flat.runway.value_or("");
    localizer.category = flat.category.value_or("");
    if (flat.glideslope_position) {
        localizer.glideslope =
            navdata::Glideslope{*flat.glideslope_position, flat.glideslope_angle.value_or(base::Angle()),
                                flat.glideslope_elevation, flat.glideslope_crossing_height};
    }
    return localizer;
}

FlatDistance flat(const std::optional<navdata::DistancePart>& dme) {
    if (!dme) {
        return {};
    }
    const auto& [position, elevation, bias, service] = *dme;
    return {position, elevation, bias, service};
}

std::string_view missing_column(const FlatDistance& flat) {
    if (flat.position && !flat.bias) {
        return "dme_bias_m";
    }
    if (flat.position && !flat.service) {
        return "dme_service";
    }
    return {};
}

std::optional<navdata::DistancePart> round(const FlatDistance& flat) {
    if (!flat.position) {
        return std::nullopt;
    }
    return navdata::DistancePart{*flat.position, flat.elevation, flat.bias.value_or(base::Length()),
                                 flat.service.value_or(navdata::ServiceClass::unknown)};
}

}  // namespace omniway::store::detail
