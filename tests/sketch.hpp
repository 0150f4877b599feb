#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "base/result.hpp"
#include "earth/position.hpp"
#include "navdata/records.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::testing {

/// A place on a drawn map: nautical miles east and north of its origin.
struct At {
    double east_nm = 0.0;
    double north_nm = 0.0;
};

struct VorDrawn {
    navdata::ServiceClass service = navdata::ServiceClass::low;
    std::optional<navdata::ServiceClass> dme = std::nullopt;
    double declination_deg = 0.0;
};

struct IlsDrawn {
    bool glideslope = true;
    bool dme = false;
    std::string category = {};  // ARINC 424 column 18
    double offset_deg = 0.0;    // of its course, to the right of the runway's direction
};

struct AirwayDrawn {
    char route_type = 'O';
    char level = ' ';
    navdata::AirwayDirection direction = navdata::AirwayDirection::both;
    std::optional<double> minimum_ft = 3000.0;
    std::optional<double> minimum_backward_ft = std::nullopt;
    std::optional<double> maximum_ft = std::nullopt;
};

struct LegDrawn {
    std::string recommended = {};  // theta and rho of the fix are coded from it
    std::optional<double> course_deg = std::nullopt;
    std::optional<double> distance_nm = std::nullopt;
    std::optional<double> altitude_ft = std::nullopt;
    navdata::Turn turn = navdata::Turn::unspecified;
    std::string description = "    ";
};

/// A small map drawn for a test, in nautical miles about an origin that may stand anywhere on the earth.
///   Model     a place is the end of the geodesic from the origin, so that the same drawing at another longitude is the same
///             shape; airway distances are coded as computed and rounded to 0.1 NM as a publication rounds them.
///   Domain    some hundreds of miles about the origin; idents unique but where a test wants otherwise.
///   Accuracy  geodesic.
///   Cost      microseconds.
///   Fails     naming an ident that is not drawn breaks the contract.
///   Source    none: it is drawn.
class Sketch {
public:
    explicit Sketch(earth::Position origin = earth::Position::degrees(40.0, -170.0));

    Sketch& vor(const std::string& ident, At place, const VorDrawn& drawn = {});
    Sketch& ndb(const std::string& ident, At place,
                navdata::ServiceClass service = navdata::ServiceClass::ndb);
    Sketch& dme(const std::string& ident, At place,
                navdata::ServiceClass service = navdata::ServiceClass::low);
    Sketch& fix(const std::string& ident, At place);
    Sketch& airport(const std::string& ident, At place, double elevation_ft = 0.0);
    /// Both ends of a runway about its middle: tens 9 draws RW09 and RW27.
    Sketch& runway(const std::string& airport, int tens, At middle, double length_ft = 6000.0);
    /// A localizer 1,000 ft beyond the far end of a drawn runway.
    Sketch& ils(const std::string& airport, const std::string& runway, const std::string& ident,
                const IlsDrawn& drawn = {});
    Sketch& airway(const std::string& designator, const std::vector<std::string>& points,
                   const AirwayDrawn& drawn = {});
    /// A grid minimum in every cell of a drawing within `degrees` of its origin.
    Sketch& grid(double minimum_ft, int degrees = 4);

    navdata::Leg leg(navdata::PathTerminator terminator, const std::string& fix,
                     const LegDrawn& drawn = {}) const;
    /// An approach of one part of its own, with a sequence of tens.
    Sketch& approach(const std::string& airport, const std::string& ident, char route_type,
                     std::vector<navdata::Leg> legs);

    /// A SID or STAR of one branch, or one more branch of it, with a sequence of tens.
    Sketch& branch(navdata::ProcedureKind kind, const std::string& airport, const std::string& ident,
                   char route_type, const std::string& transition, std::vector<navdata::Leg> legs);

    earth::Position at(At place) const;
    /// Of anything drawn.
    earth::Position place(const std::string& ident) const;
    navdata::PointName name(const std::string& ident) const;
    navdata::Station& station(const std::string& ident);

    navdata::Records& records() { return records_; }
    navdata::Snapshot world() const;
    base::Loaded<navdata::Snapshot> loaded() const;

private:
    const navdata::Station* find_station(const std::string& ident) const;

    earth::Position origin_;
    navdata::Records records_;
};

/// The station of that ident in a world built from a sketch.
navdata::StationId station_of(const navdata::Snapshot& world, std::string_view ident);

/// The airway parts of that designator.
std::vector<const navdata::Airway*> airways_of(const navdata::Snapshot& world, std::string_view designator);

}  // namespace omniway::testing
