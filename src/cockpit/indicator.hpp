#pragma once

#include <optional>
#include <string>
#include <variant>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"

namespace omniway::cockpit {

/// How a course indicator is set: the course under its index, and what it is. A localizer takes no notice of the course, but where
/// its needle lies on an HSI does.
struct CourseSetting {
    base::Radial course;
    CourseIndicator indicator = CourseIndicator::cdi;
    base::Angle vor_full_scale = base::Angle::degrees(10.0);  // some dials end at 12
};

/// A glideslope needle and a DME have nothing to set but their frequency.
struct GlideslopeSetting {};
struct DistanceSetting {};

/// A bearing pointer: of an ADF with one of its three cards, or of a VOR on an RMI. `card` is what a movable card was turned to.
struct PointerSetting {
    AdfIndicator indicator = AdfIndicator::rmi;
    base::MagneticBearing card;
};

using IndicatorSetting = std::variant<CourseSetting, GlideslopeSetting, DistanceSetting, PointerSetting>;

/// A deviation needle: how far it stands from the middle.
///   Model     positive to the right (course) or up (glideslope): where the line lies as the dial sees it, so that "toward the needle" is
///             toward the line unless sensing is reversed. The angle is the whole one; the needle itself stops at full scale.
///   Domain    full scale above zero.
///   Accuracy  exact.
///   Cost      two doubles.
///   Fails     never.
///   Source    trade-facts 4.
struct Needle {
    base::Angle deflection;
    base::Angle full_scale;

    double of_full_scale() const;  // -1 to 1
    bool pegged() const;           // at full scale or past it
};

/// Nothing that may be used. Course, glideslope and distance indicators show a flag; an ADF has none, its pointer just wanders or stays:
/// its ident must be listened to.
struct NoSignal {
    bool flagged = true;
};

/// What would be shown cannot be told, because the station's record lacks something: which, in words. Never taken as zero.
struct CannotTell {
    std::string lacks;
};

enum class ToFrom { to, from, neither };  // neither: abeam, where the arrows change

struct VorShown {
    Needle needle;
    ToFrom to_from = ToFrom::neither;
    bool reverse_sensing = false;  // flown by this heading, away from the needle is toward the line
};

/// Where a localizer's full scale came from.
enum class WidthFrom { record, geometry, typical };

struct LocalizerShown {  // no TO/FROM
    Needle needle;
    WidthFrom full_scale_from = WidthFrom::record;
    bool back_course = false;  // the aircraft stands on that side of the antenna
    bool reverse_sensing = false;
};

struct GlideslopeShown {
    Needle needle;
};

struct DistanceShown {
    base::Length
        reading;     // slant range less the station's bias, never below zero; a display rounds it to 0.1 NM
    std::string of;  // ident of the station
    bool antenna_height_assumed = false;
};

struct PointerShown {
    base::Angle relative;  // of the pointer's head from the nose, clockwise, 0 to 360 degrees
    std::optional<base::MagneticBearing> reads;  // under its head; none on a card fixed to the nose
};

/// What one instrument shows, whichever it is.
using Indication = std::variant<NoSignal, CannotTell, VorShown, LocalizerShown, GlideslopeShown,
                                DistanceShown, PointerShown>;

}  // namespace omniway::cockpit
