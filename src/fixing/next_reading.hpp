#pragma once

#include <cstddef>
#include <vector>

#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "fixing/belief.hpp"

namespace omniway::fixing {

enum class ReadingKind { radial, distance, bearing };

/// A reading that would tell more, and how much.
struct NextReading {
    navdata::StationId station;
    ReadingKind kind = ReadingKind::radial;
    double heard = 0.0;               // the chance that it is heard
    double square_nm_now = 0.0;       // of the 95 % region
    double square_nm_expected = 0.0;  // after it
    double places_expected = 1.0;     // that stand apart, after it, in the mean
};

/// What is aboard to read it with, less what must stay as it is.
struct FreeRadios {
    bool vor = true;
    bool dme = true;
    bool adf = true;
};

/// What to tune next: the readings that shrink the region most.
///   Model     for each aid near enough and each part of it that the free radios show, what it would read is drawn at places of the belief; the belief is
///             weighed anew by each; the area that holds 95 % of it is averaged, and where the aid is not heard nothing is gained. One that gains less than
///             a twentieth of the area and of the places is not told.
///   Domain    a belief of believe() on the same question.
///   Accuracy  of 48 draws, some percent.
///   Cost      some milliseconds an aid.
///   Fails     "no" is an empty list: none is heard, none is free, or none would tell more.
///   Source    expected information, as the size of the region; docs/methods/position.md.
std::vector<NextReading> next_readings(const BeliefQuestion& question, const Belief& belief,
                                       const FreeRadios& free, std::size_t most = 5);

}  // namespace omniway::fixing
