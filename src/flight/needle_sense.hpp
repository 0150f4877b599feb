#pragma once

#include "cockpit/equipment.hpp"

namespace omniway::flight {

/// How the needle of a localizer is followed. On the back course inbound and the front course outbound a plain CDI points away
/// from the course line; an HSI whose course arrow is set on the front course, whichever way it is flown, points at it. Source: AIM
/// 1-1-9 b 3; FAA Instrument Procedures Handbook, localizer back course (trade-facts 4).
enum class NeedleSense { toward_the_line, away_from_the_line, righted_by_the_front_course };
/// Of a reversed needle on an indicator.
NeedleSense reversed_needle_sense(cockpit::CourseIndicator indicator);

}  // namespace omniway::flight
