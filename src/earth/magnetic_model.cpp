#include "earth/magnetic_model.hpp"

#include <exception>
#include <utility>

#include <GeographicLib/MagneticModel.hpp>

namespace omniway::earth {

namespace {

constexpr double first_year = 2025.0;
constexpr double last_year = 2030.0;

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
    try {
        return MagneticModel(std::make_unique<Model>(folder));
    } catch (const std::exception& broken) {
        return base::failure("earth.magnetic_model_unreadable",
                             std::string("the World Magnetic Model wmm2025 cannot be read (") +
                                 broken.what() + "): install omniway again, or build it again",
                             folder);
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
