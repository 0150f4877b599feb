#pragma once

#include <vector>

#include "navdata/airport.hpp"
#include "navdata/airway.hpp"
#include "navdata/fix.hpp"
#include "navdata/marker.hpp"
#include "navdata/minimum_altitude.hpp"
#include "navdata/procedure.hpp"
#include "navdata/provenance.hpp"
#include "navdata/station.hpp"

namespace omniway::navdata {

/// Everything read from outside, still naming its neighbours by name: what readers return, the atlas keeps and a snapshot is built from.
///   Model     plain lists in the order of their sources.
///   Domain    every value already within its allowed range.
///   Accuracy  as published.
///   Cost      the data itself.
///   Fails     never.
///   Source    design section 5.
struct Records {
    std::vector<Source> sources;
    std::vector<Station> stations;
    std::vector<Fix> fixes;
    std::vector<AirwayRow> airway_rows;
    std::vector<Airport> airports;
    std::vector<Runway> runways;
    std::vector<Communication> communications;
    std::vector<Marker> markers;
    std::vector<Procedure> procedures;
    std::vector<MinimumSectorAltitude> sector_altitudes;
    std::vector<GridMinimum> grid_minimums;
};

}  // namespace omniway::navdata
