#include "plan/strip_wording.hpp"

#include <fmt/format.h>

namespace omniway::plan {

using radio::Part;
using radio::ReceptionMode;
using radio::Silence;

std::string mode_text(ReceptionMode mode) {
    switch (mode) {
        case ReceptionMode::volume:
            return "reception by service volume alone";
        case ReceptionMode::horizon:
            return "reception by service volume and smooth earth, terrain not considered";
        case ReceptionMode::terrain:
            break;
    }
    return "reception by service volume and terrain";
}

std::string part_text(const navdata::Station& station, Part part) {
    switch (part) {
        case Part::azimuth:
            return navdata::ndb(station) != nullptr         ? "bearing"
                   : navdata::localizer(station) != nullptr ? "course"
                                                            : "radial";
        case Part::distance:
            return "DME";
        case Part::glideslope:
            break;
    }
    return "slope";
}

std::string ends_text(const radio::HeardInterval& heard) {
    std::string text = heard.before == Silence::none
                           ? std::string("alive from the start")
                           : fmt::format("alive: no longer {}", radio::to_text(heard.before));
    text += heard.after == Silence::none ? std::string("; alive to the end")
                                         : fmt::format("; dead: {}", radio::to_text(heard.after));
    return heard.ground_known ? text : text + "; ground not known on the way there";
}

std::string_view short_reason(Silence silence) {
    switch (silence) {
        case Silence::none:
            return "";
        case Silence::no_such_part:
            return "no signal";
        case Silence::beyond_service_volume:
            return "range";
        case Silence::outside_service_heights:
            return "height";
        case Silence::below_horizon:
            return "horizon";
        case Silence::behind_terrain:
            return "terrain";
        case Silence::overhead:
            return "overhead";
        case Silence::outside_sector:
            return "sector";
    }
    return "";
}

std::string_view word_of(Silence silence) {
    switch (silence) {
        case Silence::none:
            return "none";
        case Silence::no_such_part:
            return "no_such_part";
        case Silence::beyond_service_volume:
            return "beyond_service_volume";
        case Silence::outside_service_heights:
            return "outside_service_heights";
        case Silence::below_horizon:
            return "below_horizon";
        case Silence::behind_terrain:
            return "behind_terrain";
        case Silence::overhead:
            return "overhead";
        case Silence::outside_sector:
            return "outside_sector";
    }
    return "none";
}

std::string_view word_of(Part part) {
    switch (part) {
        case Part::azimuth:
            return "azimuth";
        case Part::distance:
            return "distance";
        case Part::glideslope:
            break;
    }
    return "glideslope";
}

std::string_view word_of(ReceptionMode mode) {
    switch (mode) {
        case ReceptionMode::volume:
            return "volume";
        case ReceptionMode::horizon:
            return "horizon";
        case ReceptionMode::terrain:
            break;
    }
    return "terrain";
}

}  // namespace omniway::plan
