#pragma once

#include <memory>
#include <optional>
#include <string>

#include "earth/geodesic.hpp"
#include "flight/compile.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::testing {

/// A flight that begins in the air, drawn leg by leg at one level and one airspeed on a small map, and compiled.
///   Model     everything is drawn before compiled() is asked for; reception by service volumes unless another ground is given.
///   Source    none: it is drawn.
class DrawnFlight {
public:
    Sketch sketch;
    weather::Wind wind{base::TrueBearing::degrees(0), base::Speed::knots(0)};
    double level_ft = 6000.0;
    double airspeed_kt = 120.0;  // true
    cockpit::CourseIndicator indicator = cockpit::CourseIndicator::cdi;
    radio::Ground ground{.mode = radio::ReceptionMode::volume};

    DrawnFlight() { sketch.airport("XDEP", {0, -3}).runway("XDEP", 9, {0, -3}).airport("XARR", {200, 0}); }

    void build(At begins) {
        world_ = sketch.world();
        flight_.departure = *world_->airport("XDEP");
        flight_.arrival = *world_->airport("XARR");
        flight_.departure_runway = world_->runways_of("XDEP").front();
        flight_.cruise = base::Altitude::feet(level_ft);
        flight_.begun = flight::InTheAir{"BEGIN", sketch.at(begins), flight_.cruise};
    }
    navdata::StationId at(const std::string& ident) const { return station_of(*world_, ident); }
    const navdata::Station& station(const std::string& ident) const { return (*world_)[at(ident)]; }
    earth::Position place(At at) const { return sketch.at(at); }

    flight::Leg& leg(At from, At to, const procedure::Guidance& guidance) {
        flight::Leg leg;
        leg.via = "V1";
        leg.published = true;
        leg.start = sketch.at(from);
        leg.finish = sketch.at(to);
        const earth::Geodesic line = earth::geodesic(leg.start, leg.finish);
        leg.track = line.initial;
        leg.arrival = line.arrival;
        leg.length = line.distance;
        leg.stretches = {{base::Length(), leg.length, guidance}};
        leg.minimum = {flight::MinimumFrom::published_airway, base::Altitude::feet(3000)};
        flight_.legs.push_back(leg);
        return flight_.legs.back();
    }
    procedure::Guidance outbound(const std::string& ident, At to) const {
        const auto* vor = navdata::vor(station(ident));
        return procedure::OnRadial{
            at(ident), false,
            base::to_radial(earth::bearing(vor->position, sketch.at(to)), vor->declination)};
    }
    procedure::Ending told(const std::string& fix, At place, const fixing::Way& way) const {
        return procedure::AtFix{{fix, sketch.at(place), std::nullopt, false},
                                {way, base::Length::nautical_miles(0.5), base::Angle::degrees(90)}};
    }

    /// To a VOR at the origin on its 090 from 20 NM west, and a hold there on the same course, right turns.
    void toward_a_hold(const std::string& vor, bool one_circuit) {
        build({-20, 0});
        const auto toward = procedure::OnRadial{at(vor), true, base::Radial::degrees(90)};
        leg({-20, 0}, {0, 0}, toward).ending = told(vor, {0, 0}, fixing::Overhead{at(vor)});
        flight::Leg& hold = leg({0, 0}, {0, 0}, toward);
        hold.track = base::TrueBearing::degrees(90);
        hold.ending = procedure::AtHold{
            {vor, sketch.at({0, 0}), std::nullopt, false}, navdata::Turn::right, one_circuit, std::nullopt};
    }

    /// The localizer of an ILS to runway 09 of XDEP, followed eastward to a final fix 5.5 NM before its threshold, told by its DME, and on the glideslope,
    /// which is met there at 1,800 ft, to a decision altitude. Its missed approach climbs ahead to 2,000 ft and on to MIS.
    struct IlsFlown {
        At begin{-14.0, -3.0};
        bool published = true;
        bool with_missed = true;
        std::optional<At> aerial = std::nullopt;  // of the glideslope; none: at the threshold
        bool until_glideslope = false;            // to where its needle centres instead of to the fix
    };
    void onto_an_ils(const IlsFlown& flown) {
        constexpr At final_fix{-6.0, -3.0};
        constexpr At threshold{-3000.0 / 6076.1, -3.0};
        constexpr At missed_turn{1.5, -3.0};
        constexpr At mis{12.0, -3.0};
        sketch.ils("XDEP", "RW09", "IAAA", {.dme = true}).vor("MIS", mis);
        if (flown.aerial) {
            auto& localizer = std::get<navdata::LocalizerAzimuth>(sketch.station("IAAA").azimuth);
            localizer.glideslope->position = sketch.at(*flown.aerial);
        }
        build(flown.begin);
        const auto follow = procedure::OnLocalizer{at("IAAA"), true, false};
        const base::Length reading = earth::distance(navdata::site(station("IAAA")), place(final_fix));
        flight::Leg& first = leg(flown.begin, final_fix, follow);
        first.published = flown.published;
        first.ending = told("FAF", final_fix, fixing::DmeReading{at("IAAA"), reading, false});
        if (flown.until_glideslope) {
            first.ending = procedure::AtGlideslopeIntercept{};
        }
        flight::Leg& final = leg(final_fix, threshold, follow);
        final.phase = flight::Phase::approach;
        final.ending = procedure::AtDecisionAltitude{};
        procedure::FinalSegment segment;
        segment.length = final.length;
        segment.on_glideslope = true;
        segment.gradient = procedure::Gradient::feet_per_nautical_mile(318);
        flight_.final_approach = segment;
        if (flown.with_missed) {
            const auto ahead = procedure::OnHeading{base::TrueBearing::degrees(90)};
            missed_leg(threshold, missed_turn, ahead, procedure::AtAltitude{base::Altitude::feet(2000)});
            missed_leg(missed_turn, mis, procedure::OnRadial{at("MIS"), true, base::Radial::degrees(90)},
                       told("MIS", mis, fixing::Overhead{at("MIS")}));
        }
    }

    const flight::Compiled& compiled() {
        aircraft_ = aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
        for (cockpit::NavigationReceiver& receiver : aircraft_.equipment.receivers) {
            receiver.indicator = indicator;
        }
        aircraft_.performance.cruise = {{.altitude = flight_.cruise,
                                         .true_airspeed = base::Speed::knots(airspeed_kt),
                                         .fuel_flow = base::MassFlow::pounds_per_hour(100)}};
        flight_.profile = {{base::Length(), flight_.cruise}, {flight_.length(), flight_.cruise}};
        if (flight_.final_approach) {
            flight_.profile.back().altitude = base::Altitude::feet(50);
            flight_.profile.insert(flight_.profile.begin() + 1,
                                   {flight_.length() - flight_.final_approach->length, flight_.cruise});
        }
        winds_ = weather::WindsAloft(wind);
        day_ = std::make_unique<flight::Circumstances>(flight::Circumstances{
            *world_, ground, magnetic_model(), earth::DecimalYear{2026.0}, aircraft_, settings_, winds_});
        compiled_ = flight::compile(*day_, flight_);
        return compiled_;
    }
    flight::Compiled& made() { return compiled_; }
    const flight::Circumstances& day() const { return *day_; }
    const flight::Flight& flight() const { return flight_; }

private:
    void missed_leg(At from, At to, const procedure::Guidance& guidance, const procedure::Ending& ending) {
        leg(from, to, guidance).ending = ending;
        flight::Leg& missed = flight_.missed.emplace_back(std::move(flight_.legs.back()));
        missed.phase = flight::Phase::missed;
        flight_.legs.pop_back();
    }

    std::optional<navdata::Snapshot> world_;
    flight::Flight flight_;
    aircraft::Aircraft aircraft_;
    flight::Settings settings_;
    weather::WindsAloft winds_;
    std::unique_ptr<flight::Circumstances> day_;
    flight::Compiled compiled_;
};

}  // namespace omniway::testing
