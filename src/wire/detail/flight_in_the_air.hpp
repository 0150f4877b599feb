#pragma once

#include "navdata/snapshot.hpp"
#include "plan/diversion.hpp"
#include "plan/station_loss.hpp"
#include "radio/ground.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// A flight that is taken up in the air, as several documents hold it: its way in a line, figures, findings and steps.
Json flight_in_the_air_json(const navdata::Snapshot& world, const plan::Option& option);

/// A place in the air with the fuel left there.
Json in_flight_json(const plan::InFlight& now);

Json first_on_the_radios_json(const std::optional<plan::FirstOnTheRadios>& first);

/// An airport that can be flown to from there, and one that cannot.
Json diversion_json(const navdata::Snapshot& world, const plan::Diversion& each);
Json diversion_refused_json(const navdata::Snapshot& world, const plan::DiversionRefused& refused);

Json aid_json(const flight::NamedAid& aid);

}  // namespace omniway::wire::detail
