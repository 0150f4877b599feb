#include "navdata/airway.hpp"

#include <string_view>

namespace omniway::navdata {

bool is_area_navigation_designator(const std::string& designator) {
    std::string_view letters = designator;
    // "TK" is the FAA's helicopter RNAV route; U, K and S are the prefixes of ICAO Annex 11 appendix 1.
    if (letters.size() > 1 && (letters[0] == 'U' || letters[0] == 'K' || letters[0] == 'S') &&
        letters[1] >= 'A' && letters[1] <= 'Z') {
        letters.remove_prefix(1);
    }
    return !letters.empty() && std::string_view("LMNPQTYZ").find(letters[0]) != std::string_view::npos;
}

}  // namespace omniway::navdata
