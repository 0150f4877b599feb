#include "earth/magnetic_model.hpp"

#include <cmath>
#include <exception>
#include <utility>

#include <GeographicLib/MagneticModel.hpp>

namespace omniway::earth {

namespace {

constexpr double first_year = 2025.0;
constexpr double last_year = 2030.0;

// WMM2025_TEST_VALUES.txt, row 12. Every coefficient and its yearly change has a part in it, so that one place tells a
// damaged file; and the published digits are good to 0.001 nT.
bool gives_published_field(const MagneticModel& model) {
    const MagneticField field =
        model.field(Position::degrees(26.0, 81.0), base::Length::metres(63000.0), DecimalYear{2025.5});
    constexpr double tolerance_nt = 0.001;
    return std::abs(field.north_nt - 34802.613433) < tolerance_nt &&
           std::abs(field.east_nt - 308.431881) < tolerance_nt &&
           std::abs(field.down_nt - 30332.056989) < tolerance_nt;
}

}  // namespace

struct MagneticModel::Model {
    explicit Model(const std::string& folder) : field("wmm2025", folder) {}
    GeographicLib::MagneticModel field;
};

MagneticModel::MagneticModel(std::unique_ptr<Model> model) : model_(std::move(model)) {}
MagneticModel::MagneticModel(MagneticModel&&) noexcept = default;
MagneticModel& MagneticModel::operator=(MagneticModel&&) noexcept = default;
MagneticModel::~MagneticModel() = default;

base::Result<MagneticModel> MagneticModel::load(const std::string& folder) {
    const auto unreadable = [&](const std::string& why) {
        return base::failure("earth.magnetic_model_unreadable",
                             "the World Magnetic Model wmm2025 cannot be read (" + why +
                                 "): install omniway again, or build it again",
                             folder);
    };
    if (folder.empty()) {
        // GeographicLib would look where its own environment variables say.
        return unreadable("no folder is named");
    }
    try {
        MagneticModel model(std::make_unique<Model>(folder));
        if (!gives_published_field(model)) {
            return unreadable("it does not give the published field: the file is damaged or another model's");
        }
        return model;
    } catch (const std::exception& broken) {
        return unreadable(broken.what());
    }
}

MagneticField MagneticModel::field(Position position, base::Length above_ellipsoid, DecimalYear when) const {
    double east = 0.0;
    double north = 0.0;
    double up = 0.0;
    model_->field(when.value, position.latitude_deg(), position.longitude_deg(), above_ellipsoid.metres(),
                  east, north, up);
    MagneticField field;
    double declination = 0.0;
    double inclination = 0.0;
    GeographicLib::MagneticModel::FieldComponents(east, north, up, field.horizontal_nt, field.total_nt,
                                                  declination, inclination);
    field.north_nt = north;
    field.east_nt = east;
    field.down_nt = -up;
    field.variation = base::Variation::east(base::Angle::degrees(declination));
    field.inclination = base::Angle::degrees(inclination);
    return field;
}

base::Variation MagneticModel::variation(Position position, DecimalYear when) const {
    return field(position, base::Length(), when).variation;
}

bool MagneticModel::valid_at(DecimalYear when) {
    return when.value >= first_year && when.value <= last_year;
}

}  // namespace omniway::earth
