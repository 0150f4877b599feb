#include "fixing/reading_errors.hpp"

namespace omniway::fixing {

ReadingErrors ReadingErrors::of(radio::Criteria criteria) {
    const auto half = [criteria](radio::AidKind aid) {
        return radio::bearing_tolerance(aid, radio::Line::crossing, criteria) * 0.5;
    };
    ReadingErrors errors;
    errors.vor = half(radio::AidKind::vor);
    errors.adf = half(radio::AidKind::ndb);
    errors.localizer = half(radio::AidKind::localizer);
    errors.criteria = criteria;
    return errors;
}

}  // namespace omniway::fixing
