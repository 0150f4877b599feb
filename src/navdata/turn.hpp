#pragma once

namespace omniway::navdata {

/// To which side a leg, a hold or a course reversal turns. Source: ARINC 424-18 section 5.20 (from memory).
enum class Turn { unspecified, left, right, either };

}  // namespace omniway::navdata
