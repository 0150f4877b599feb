#include "radio/prepared_reception.hpp"

#include "radio/detail/listener.hpp"

namespace omniway::radio {

struct PreparedReception::Listening {
    detail::Listener listener;
};

PreparedReception::PreparedReception(const navdata::Station& station, Part part, const Ground& ground)
    : listening_(std::make_shared<const Listening>(Listening{detail::Listener(station, part, ground)})) {}

Reception PreparedReception::at(earth::Position place, base::Altitude altitude) const {
    return listening_->listener.at(place, altitude);
}

Reception PreparedReception::at(const FromAntenna& place, base::Altitude altitude) const {
    return listening_->listener.at(place, altitude);
}

base::Length PreparedReception::room(const Reception& reception) const {
    return listening_->listener.room(reception);
}

}  // namespace omniway::radio
