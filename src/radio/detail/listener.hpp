#pragma once

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>

#include "base/bearing.hpp"
#include "radio/horizon.hpp"
#include "radio/line_of_sight.hpp"
#include "radio/reception.hpp"
#include "radio/service_volume.hpp"

namespace omniway::radio::detail {

// A stretch may be drawn to the very edge of a volume, and rounding in a geodesic must not decide whether it is heard there.
inline constexpr base::Length edge = base::Length::metres(0.1);

/// One part of a station ready to be listened for at many places: what of a reception does not depend on the place.
class Listener {
public:
    Listener(const navdata::Station& station, Part part, const Ground& ground);

    Reception at(earth::Position place, base::Altitude altitude) const;
    Reception at(const FromAntenna& place, base::Altitude altitude) const;

    /// The same where the distance is at hand; `place_of` gives the place, and is called only where terrain asks for it.
    template <class PlaceOf>
    Reception at(base::Length distance, base::Altitude altitude, const PlaceOf& place_of) const {
        return with_sight(within_volume(distance, altitude), place_of);
    }

    /// How far one may go on at this altitude, in any direction, before another answer is possible; ground steeper than 45
    /// degrees apart. Infinite for what nowhere is.
    base::Length room(const Reception& reception) const;

    /// The lowest altitude at which it is heard at a place, the cone aside.
    std::optional<base::Altitude> lowest(earth::Position place, bool& ground_known) const;

    bool exists() const { return kind_ != Kind::nothing; }
    bool by_distance_alone() const { return kind_ != Kind::localizer && kind_ != Kind::glideslope; }
    earth::Position site() const { return antenna_.position; }

private:
    enum class Kind { nothing, vor, ndb, localizer, glideslope, distance };

    bool needs_sight() const { return kind_ != Kind::ndb && mode_ != ReceptionMode::volume; }
    base::Length cone_radius(base::Altitude altitude) const;
    std::optional<base::Length> radius_at(base::Altitude altitude) const;
    Reception within_volume(base::Length distance, base::Altitude altitude) const;
    bool within_heights(base::Length distance, base::Altitude altitude) const;
    Reception within_sector(const FromAntenna& place, base::Altitude altitude) const;
    /// `place_of` gives the place, either way, and is called only where terrain asks for it.
    template <class PlaceOf>
    Reception with_sight(const Reception& in_volume, const PlaceOf& place_of) const {
        if (!in_volume.heard() || !needs_sight()) {
            return in_volume;
        }
        const Reception over_sea = above_smooth_earth(in_volume);
        return over_sea.heard() && horizon_ ? above_terrain(over_sea, horizon_->lowest_seen(place_of()))
                                            : over_sea;
    }
    FromAntenna seen(earth::Position place) const;
    Reception above_smooth_earth(Reception reception) const;
    Reception above_terrain(Reception reception, const LowestSight& sight) const;
    base::Altitude lowest_over_smooth_earth(base::Length distance) const;

    Kind kind_ = Kind::nothing;
    navdata::ServiceClass service_ = navdata::ServiceClass::unknown;
    Antenna antenna_;
    base::Altitude ground_;
    bool ground_is_known_ = false;
    base::Angle glideslope_angle_;
    base::TrueBearing front_;  // of a localizer or glideslope: from the antenna toward the approach
    ReceptionMode mode_ = ReceptionMode::horizon;
    std::shared_ptr<const Horizon> horizon_;
};

}  // namespace omniway::radio::detail
