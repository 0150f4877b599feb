#include "radio/prepared_reception.hpp"

#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::radio {

// It is hear(), whichever way it is asked.
RC_GTEST_PROP(LawPreparedReception, AnswersAsHearDoes, ()) {
    testing::Sketch sketch;
    sketch.airport("XARR", {40, 0}).runway("XARR", 9, {40, 0}).ils("XARR", "RW09", "IXR", {.dme = true});
    sketch.vor("AAA", {0, 0}, {.service = navdata::ServiceClass::low, .dme = navdata::ServiceClass::low});
    sketch.ndb("NNN", {20, 5});
    const auto world = sketch.world();
    const double east_nm = *rc::gen::inRange(-800, 800) / 10.0;
    const double north_nm = *rc::gen::inRange(-800, 800) / 10.0;
    const auto altitude = base::Altitude::feet(*rc::gen::inRange(100, 30000));
    const Ground ground{.mode = *rc::gen::element(ReceptionMode::volume, ReceptionMode::horizon)};
    const earth::Position place = sketch.at({east_nm, north_nm});
    for (const std::string ident : {"AAA", "NNN", "IXR"}) {
        const navdata::Station& station = world[testing::station_of(world, ident)];
        for (const Part part : {Part::azimuth, Part::distance, Part::glideslope}) {
            const Reception truth = hear(station, part, place, altitude, ground);
            const PreparedReception prepared(station, part, ground);
            RC_ASSERT(prepared.at(place, altitude).silence == truth.silence);
            const auto line = earth::geodesic(antenna_of(station, part, nullptr).position, place);
            RC_ASSERT(prepared.at({line.distance, line.initial}, altitude).silence == truth.silence);
        }
    }
}

}  // namespace omniway::radio
