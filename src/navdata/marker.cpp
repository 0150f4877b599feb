#include "navdata/marker.hpp"

namespace omniway::navdata {

std::string_view name_of(MarkerKind kind) {
    switch (kind) {
        case MarkerKind::outer:
            break;
        case MarkerKind::middle:
            return "middle marker";
        case MarkerKind::inner:
            return "inner marker";
        case MarkerKind::back_course:
            return "back course marker";
    }
    return "outer marker";
}

}  // namespace omniway::navdata
