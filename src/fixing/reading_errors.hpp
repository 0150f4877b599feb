#pragma once

#include "base/quantity.hpp"
#include "radio/error_budget.hpp"

namespace omniway::fixing {

/// How wrong readings are: standard deviations, and how often something is wrong altogether.
///   Model     each reading errs by itself, normally; with a small chance it is its reciprocal (TO for FROM, tail for head of a pointer), or says nothing of
///             that station at all; with a small chance the heading indicator is far off for all that was read by it.
///   Domain    deviations above zero; chances 0 to 0.5.
///   Accuracy  -
///   Cost      some numbers.
///   Fails     never.
///   Source    half the 95 % tolerances of a line that is crossed (radio/error_budget.hpp); heading 1.5 degrees and all chances: common practice, no source.
struct ReadingErrors {
    base::Angle vor;
    base::Angle adf;
    base::Angle localizer;
    radio::Criteria criteria = radio::Criteria::terps;  // of the DME: half of dme_tolerance()
    base::Angle heading = base::Angle::degrees(1.5);
    base::Angle heading_off = base::Angle::degrees(20.0);  // the deviation of one that is far off
    double reciprocal = 0.01;
    double nothing = 0.01;
    double heading_is_off = 0.01;
    double station_is_off_the_air =
        0.1;  // of one that is not heard where it should be: silence weighs no more than that

    static ReadingErrors of(radio::Criteria criteria);
};

}  // namespace omniway::fixing
