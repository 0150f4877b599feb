// The invented country of Xaravel: the order in which it is built.

#include <utility>

#include "building.hpp"
#include "records.hpp"

namespace omniway::demo_region {

Records Country::build() {
    fields_west();
    fields_middle();
    fields_north();
    fields_east();
    fields_south();
    stations();
    en_route_fixes();
    airways();
    rnav_airways();
    xamarra();
    xamarra_ways();
    xeddow();
    xagilla();
    xurlin();
    xekellin();
    xicora();
    xenora();
    xalden();
    xandovel();
    xandovel_ways();
    xapiren();
    xorrel();
    xusulo();
    xadrow();
    xomber();
    markers();
    safe_altitudes();
    return std::move(records_);
}

Records country_records() {
    return Country().build();
}

}  // namespace omniway::demo_region
