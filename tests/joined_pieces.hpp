#pragma once

#include <algorithm>
#include <cmath>
#include <span>

#include "earth/geodesic.hpp"
#include "procedure/track_piece.hpp"

namespace omniway::testing {

/// How badly pieces of a track join: the largest step between the end of one and the start of the next.
struct WorstJoin {
    double gap_m = 0.0;
    double kink_deg = 0.0;
};

inline WorstJoin worst_join(std::span<const procedure::TrackPiece> pieces) {
    WorstJoin worst;
    for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
        const procedure::OnTrack end = procedure::finish_of(pieces[i]);
        const procedure::OnTrack next = procedure::start_of(pieces[i + 1]);
        worst.gap_m = std::max(worst.gap_m, earth::distance(end.place, next.place).metres());
        worst.kink_deg = std::max(worst.kink_deg, std::abs((next.track - end.track).degrees()));
    }
    return worst;
}

/// The farthest of a second-by-second walk along the pieces.
inline double farthest_walked_nm(std::span<const procedure::TrackPiece> pieces, earth::Position from) {
    double most = 0.0;
    for (const procedure::TrackPiece& piece : pieces) {
        const double all = procedure::time_of(piece).count();
        for (double t = 0.0; t <= all; t += 1.0) {
            const earth::Position place = procedure::at(piece, base::Duration(t)).place;
            most = std::max(most, earth::distance(from, place).nautical_miles());
        }
    }
    return most;
}

}  // namespace omniway::testing
