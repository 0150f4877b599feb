#include "flight/detail/lines_over.hpp"

#include "earth/geodesic.hpp"
#include "radio/reception.hpp"

namespace omniway::flight::detail {

using base::Length;
using navdata::StationId;

namespace {

constexpr Length farthest_aid = Length::nautical_miles(130.0);
constexpr Length at_the_aid = Length::nautical_miles(0.5);

bool guides(const navdata::Station& station) {
    return navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr;
}

class Lines {
public:
    Lines(const Circumstances& day, earth::Position place, earth::Position other, base::Altitude altitude)
        : day_(day), world_(day.world), place_(place), other_(other), altitude_(altitude) {
        from_place_ = earth::geodesic(place, other);
    }

    void add_onward(StationId id, base::TrueBearing onward) {
        procedure::Guidance onto = procedure::OnBeacon{id, true, onward};
        if (const auto* vor = navdata::vor(world_[id])) {
            onto = procedure::OnRadial{id, true, base::to_radial(onward, vor->declination)};
        }
        add(onto, onward.reciprocal());
    }

    void add_of(StationId id) {
        const navdata::Station& station = world_[id];
        const earth::Position site = navdata::site(station);
        const earth::Geodesic line = earth::geodesic(site, place_);
        if (line.distance < at_the_aid || earth::distance(site, other_) < at_the_aid ||
            line.distance > radio::azimuth_reach(station, altitude_, day_.ground).value_or(Length())) {
            return;
        }
        const auto* vor = navdata::vor(station);
        for (const bool toward : {false, true}) {
            procedure::Guidance onto =
                procedure::OnBeacon{id, toward, toward ? line.initial.reciprocal() : line.initial};
            if (vor != nullptr) {
                const base::Radial radial = base::to_radial(line.initial, vor->declination);
                onto = procedure::OnRadial{id, toward, toward ? radial.reciprocal() : radial};
            }
            add(onto, toward ? line.arrival : line.arrival.reciprocal());
        }
    }

    std::vector<LineOver> result() { return std::move(lines_); }

private:
    // `back` leads away from the place along the line by which it is come to.
    void add(const procedure::Guidance& onto, base::TrueBearing back) {
        if (!procedure::can_follow(world_, day_.aircraft.equipment, onto)) {
            return;
        }
        const base::Angle off = from_place_.initial - back;
        lines_.push_back(
            {onto, from_place_.distance * base::cos(off), abs(from_place_.distance * base::sin(off))});
    }

    const Circumstances& day_;
    const navdata::Snapshot& world_;
    earth::Position place_;
    earth::Position other_;
    base::Altitude altitude_;
    earth::Geodesic from_place_;
    std::vector<LineOver> lines_;
};

}  // namespace

std::vector<LineOver> lines_over(const Circumstances& circumstances, const procedure::PlacedFix& place,
                                 const std::optional<base::TrueBearing>& onward, base::Altitude altitude,
                                 earth::Position other) {
    const navdata::Snapshot& world = circumstances.world;
    Lines lines(circumstances, place.position, other, altitude);
    const auto* aid = place.point ? std::get_if<StationId>(&*place.point) : nullptr;
    if (onward && aid != nullptr && guides(world[*aid])) {
        lines.add_onward(*aid, *onward);
    }
    for (const StationId id : world.stations_within(place.position, farthest_aid)) {
        if (guides(world[id])) {
            lines.add_of(id);
        }
    }
    return lines.result();
}

}  // namespace omniway::flight::detail
