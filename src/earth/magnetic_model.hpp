#pragma once

#include <memory>
#include <string>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "base/result.hpp"
#include "earth/position.hpp"

namespace omniway::earth {

/// Year and its elapsed part, as magnetic models count time: 2026.5 is the middle of 2026.
struct DecimalYear {
    double value = 0.0;
};

/// The earth's field at a place: strengths in nanotesla, angles as the World Magnetic Model names them.
struct MagneticField {
    double north_nt = 0.0;       // X
    double east_nt = 0.0;        // Y
    double down_nt = 0.0;        // Z
    double horizontal_nt = 0.0;  // H
    double total_nt = 0.0;       // F
    base::Variation variation;   // D
    base::Angle inclination;     // I
};

/// The World Magnetic Model 2025: where a compass points, anywhere, from 2025.0 to 2030.0.
///   Model     spherical harmonics of degree 12 with linear secular change, height above the WGS 84 ellipsoid.
///   Domain    2025.0 to 2030.0; outside it the model is extrapolated, which valid_at() tells and callers report.
///   Accuracy  the 100 published test points: D and I within 0.01 degrees, X, Y, Z, H and F within 0.001 nT; the report's own
///             equations summed up: within 0.000001 nT (magnetic_model_test.cpp). The model itself is stated good
///             to sqrt(0.26^2 + (5417 / H)^2) degrees in D: about 0.4 at middle latitudes.
///   Cost      a variation costs about two geodesics; load() 1 ms.
///   Fails     load(): earth.magnetic_model_unreadable, with the folder looked in, for files that are missing, cut short, of
///             another model, or do not give the field of a published test point.
///   Source    NOAA/NCEI and BGS, The US/UK World Magnetic Model for 2025-2030; data/SOURCES.md.
class MagneticModel {
public:
    /// The model kept in `folder` as wmm2025.wmm and wmm2025.wmm.cof (GeographicLib's format).
    static base::Result<MagneticModel> load(const std::string& folder);

    MagneticModel(MagneticModel&&) noexcept;
    MagneticModel& operator=(MagneticModel&&) noexcept;
    ~MagneticModel();

    MagneticField field(Position position, base::Length above_ellipsoid, DecimalYear when) const;
    base::Variation variation(Position position, DecimalYear when) const;
    static bool valid_at(DecimalYear when);

private:
    struct Model;
    explicit MagneticModel(std::unique_ptr<Model> model);
    std::unique_ptr<Model> model_;
};

}  // namespace omniway::earth
