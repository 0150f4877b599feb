#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/provenance.hpp"

namespace omniway::navdata {

/// The published class of a station's standard service volume; which letters of a source mean which stands in
/// docs/service-classes.md. Unknown is taken as the smallest of its kind, with a note.
enum class ServiceClass {
    unknown,
    terminal,  // VOR, DME, TACAN class T
    low,       // class L
    high,      // class H
    vor_low,   // class VL
    vor_high,  // class VH
    dme_low,   // class DL
    dme_high,  // class DH
    compass_locator,
    ndb_medium,  // MH: under 50 W
    ndb,         // H: 50 to 1,999 W
    ndb_high,    // HH: 2,000 W and more
    localizer
};

/// Where a declination came from: the record, or the magnetic model at the source's date because the record has none.
enum class DeclinationFrom { record, model_at_source_date };

/// A VOR: radials about its own zero.
struct VorAzimuth {
    earth::Position position;
    base::Declination declination;
    DeclinationFrom declination_from = DeclinationFrom::record;
    ServiceClass service = ServiceClass::unknown;
    friend bool operator==(const VorAzimuth&, const VorAzimuth&) = default;
};

/// The azimuth of a TACAN: no civil receiver of this project's cockpits shows it.
struct TacanAzimuth {
    earth::Position position;
    base::Declination declination;
    friend bool operator==(const TacanAzimuth&, const TacanAzimuth&) = default;
};

/// A non-directional beacon: bearings by needle and compass, so only the variation at its place matters.
struct NdbAzimuth {
    earth::Position position;
    base::Variation variation;
    ServiceClass service = ServiceClass::unknown;
    friend bool operator==(const NdbAzimuth&, const NdbAzimuth&) = default;
};

struct Glideslope {
    earth::Position position;
    base::Angle angle;
    std::optional<base::Altitude> elevation;
    std::optional<base::Length> threshold_crossing_height;
    friend bool operator==(const Glideslope&, const Glideslope&) = default;
};

/// A localizer: one course, front and back.
struct LocalizerAzimuth {
    earth::Position position;
    base::Radial course;  // front course inbound, magnetic by its own declination
    base::Declination declination;
    std::optional<base::Angle> width;  // full scale left to full scale right
    std::string runway;                // "RW04L"
    std::string category;              // ARINC 424 column 18: 0 1 2 3 I L A S F
    std::optional<Glideslope> glideslope;
    friend bool operator==(const LocalizerAzimuth&, const LocalizerAzimuth&) = default;
};

/// The distance part of a station, where its record has one.
struct DistancePart {
    earth::Position position;
    std::optional<base::Altitude> elevation;
    base::Length bias;  // an ILS/DME may be set to read zero at the threshold
    ServiceClass service = ServiceClass::unknown;
    friend bool operator==(const DistancePart&, const DistancePart&) = default;
};

using Azimuth = std::variant<std::monostate, VorAzimuth, TacanAzimuth, NdbAzimuth, LocalizerAzimuth>;

/// A ground radio aid, exactly as its records describe it: no part that they do not give.
///   Model     one frequency and ident; an azimuth (or none, for a lone DME) and perhaps a distance part, each with its own site.
///   Domain    ident as transmitted (localizers with their leading I); positions WGS 84; elevations above mean sea level.
///   Accuracy  as published: 0.01 arc-second, 0.1 degree of declination.
///   Cost      about 400 bytes.
///   Fails     never.
///   Source    ARINC 424-18 VHF navaid, NDB, localizer records (trade-facts 13.4, 13.5, 13.10); OurAirports navaids.csv.
struct Station {
    std::string ident;
    std::string region;
    std::string airport;  // of a terminal aid, else empty
    std::string name;
    base::Frequency frequency;
    Azimuth azimuth;
    std::optional<DistancePart> dme;
    bool out_of_service = false;
    std::vector<Origin> origins;
    friend bool operator==(const Station&, const Station&) = default;
};

const VorAzimuth* vor(const Station& station);
const NdbAzimuth* ndb(const Station& station);
const LocalizerAzimuth* localizer(const Station& station);

/// Where its azimuth is sent from; for a lone DME, where the distance is.
earth::Position site(const Station& station);

/// What a localizer's category makes of it. An LDA leads at more than 3 degrees to its runway (straight-in minima up to 30
/// degrees, else circling minima only: AIM 1-1-9 c); an SDF is as wide as 6 or 12 degrees and perhaps off the runway (AIM
/// 1-1-10); both are flown like a localizer. Letters: trade-facts 13.10.
enum class LocalizerKind { aligned, directional_aid, simplified };
LocalizerKind kind_of(const LocalizerAzimuth& azimuth);

/// Whether its back course may be flown where a procedure says so: an LDA offers none (FAA Instrument Procedures Handbook, LDA),
/// an SDF is used within 35 degrees of its approach course only (AIM 1-1-10 d).
bool has_back_course(const LocalizerAzimuth& azimuth);

/// "VOR/DME", "NDB", "ILS/DME", "LOC", "LDA" ... as the trade names such an aid.
std::string kind_text(const Station& station);

/// "115.90" (MHz) or "365" (kHz).
std::string frequency_text(const Station& station);

/// The radial of a VOR, or the course line of a localizer, on which `place` lies as seen from the station; none for
/// other kinds.
std::optional<base::Radial> radial_of(const Station& station, earth::Position place);

}  // namespace omniway::navdata
