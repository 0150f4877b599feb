#include "app/show.hpp"

#include <cstdint>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "cockpit/morse.hpp"
#include "earth/geodesic.hpp"
#include "procedure/marker_check.hpp"
#include "radio/frequency_check.hpp"
#include "radio/identification.hpp"
#include "radio/service_volume.hpp"

namespace omniway::app {

namespace {

using navdata::Snapshot;

std::string origin_text(const Snapshot& world, const navdata::Origin& origin) {
    const auto sources = world.sources();
    return fmt::format(
        "{}:{}", origin.source.index < sources.size() ? sources[origin.source.index].file : "?", origin.line);
}

std::string east_west(base::Angle east) {
    return fmt::format("{:.1f}\u00b0{}", std::abs(east.degrees()), east.degrees() < 0.0 ? "W" : "E");
}

std::string feet(const std::optional<base::Altitude>& altitude) {
    return altitude ? fmt::format("{:.0f} ft", altitude->feet()) : std::string("not given");
}

std::string_view class_text(navdata::ServiceClass service) {
    using navdata::ServiceClass;
    switch (service) {
        case ServiceClass::unknown:
            return "not given (taken as the smallest)";
        case ServiceClass::terminal:
            return "terminal (T)";
        case ServiceClass::low:
            return "low (L)";
        case ServiceClass::high:
            return "high (H)";
        case ServiceClass::vor_low:
            return "VOR low (VL)";
        case ServiceClass::vor_high:
            return "VOR high (VH)";
        case ServiceClass::dme_low:
            return "DME low (DL)";
        case ServiceClass::dme_high:
            return "DME high (DH)";
        case ServiceClass::compass_locator:
            return "compass locator";
        case ServiceClass::ndb_medium:
            return "NDB MH";
        case ServiceClass::ndb:
            return "NDB H";
        case ServiceClass::ndb_high:
            return "NDB HH";
        case ServiceClass::localizer:
            return "localizer";
    }
    return "";
}

std::string morse_text(const navdata::Station& station) {
    const cockpit::Identification heard = radio::identification_of(station);
    return fmt::format("{} ({:.1f} s at {:.0f} words a minute, again within {:.0f} s)",
                       cockpit::morse(station.ident),
                       cockpit::keying_time(station.ident, heard.speed).count(), heard.speed.words_per_minute,
                       heard.again_within.count());
}

std::string volume_text(navdata::ServiceClass service, radio::AidKind kind) {
    return radio::volume_text(radio::known_or_smallest(service, kind));
}

std::string glideslope_text(const navdata::Station& station, const navdata::Glideslope& glideslope) {
    std::string text = fmt::format("{:.2f}\u00b0", glideslope.angle.degrees());
    if (const auto frequency = radio::glideslope_frequency_of(station)) {
        text += fmt::format(", {:.2f} MHz with its localizer", frequency->megahertz());
    }
    return text;
}

std::string channel_text(cockpit::DmeChannel channel) {
    const cockpit::DmeFrequencies both = cockpit::frequencies(channel);
    return fmt::format("{} (asked on {:.0f} MHz, answers on {:.0f} MHz)", cockpit::to_text(channel),
                       both.interrogation.megahertz(), both.reply.megahertz());
}

std::string marker_text(const Snapshot& world, const navdata::Marker& marker) {
    const procedure::MarkerCheck check = procedure::marker_check(world, marker);
    std::string text = earth::to_text(marker.position);
    if (check.before_threshold) {
        text += fmt::format(", {:.1f} NM from the threshold", check.before_threshold->nautical_miles());
    }
    if (check.on_glide_path) {
        text += fmt::format(", glideslope over it at {:.0f} ft", check.on_glide_path->feet());
    }
    return text + fmt::format(" ({})", origin_text(world, marker.origin));
}

Shown figures_of(const Snapshot& world, navdata::StationId id) {
    const navdata::Station& station = world[id];
    Shown out{fmt::format("{} {} {}", navdata::kind_text(station), station.ident, station.name), {}};
    auto& figures = out.figures;
    figures.emplace_back("frequency",
                         navdata::frequency_text(station) + (navdata::ndb(station) ? " kHz" : " MHz"));
    if (const auto fault = radio::frequency_fault(station)) {
        figures.emplace_back("frequency fault", *fault);
    }
    figures.emplace_back("Morse", morse_text(station));
    figures.emplace_back("place", earth::to_text(navdata::site(station)));
    if (const auto* azimuth = navdata::vor(station)) {
        figures.emplace_back("declination",
                             east_west(azimuth->declination.east()) +
                                 (azimuth->declination_from == navdata::DeclinationFrom::record
                                      ? ""
                                      : " (variation at the date of the source: its record gives none)"));
        figures.emplace_back("class", class_text(azimuth->service));
        figures.emplace_back("service volume", volume_text(azimuth->service, radio::AidKind::vor));
    }
    if (const auto* azimuth = navdata::ndb(station)) {
        figures.emplace_back("variation", east_west(azimuth->variation.east()));
        figures.emplace_back("class", class_text(azimuth->service));
        figures.emplace_back("service volume", volume_text(azimuth->service, radio::AidKind::ndb));
    }
    if (const auto* azimuth = navdata::localizer(station)) {
        figures.emplace_back("airport", station.airport + " " + azimuth->runway);
        figures.emplace_back("course", fmt::format("{:05.1f}", azimuth->course.degrees()));
        figures.emplace_back("declination", east_west(azimuth->declination.east()));
        if (azimuth->width) {
            figures.emplace_back("width", fmt::format("{:.2f}\u00b0", azimuth->width->degrees()));
        }
        if (azimuth->glideslope) {
            figures.emplace_back("glideslope", glideslope_text(station, *azimuth->glideslope));
        }
        for (const navdata::Marker* marker : world.markers_of(station.airport, station.ident)) {
            figures.emplace_back(navdata::name_of(marker->kind), marker_text(world, *marker));
        }
        figures.emplace_back("service volume", radio::volume_text(navdata::ServiceClass::localizer));
    }
    if (station.dme) {
        if (const auto channel = radio::channel_of(station)) {
            figures.emplace_back("DME channel", channel_text(*channel));
        }
        figures.emplace_back("DME at", earth::to_text(station.dme->position));
        figures.emplace_back("DME elevation", feet(station.dme->elevation));
        figures.emplace_back("DME class", class_text(station.dme->service));
        figures.emplace_back("DME service volume",
                             volume_text(station.dme->service, radio::AidKind::distance));
        if (station.dme->bias > base::Length()) {
            figures.emplace_back("DME bias", fmt::format("{:.1f} NM", station.dme->bias.nautical_miles()));
        }
    }
    for (const navdata::Origin& origin : station.origins) {
        figures.emplace_back("read from", origin_text(world, origin));
    }
    return out;
}

Shown figures_of(const Snapshot& world, navdata::FixId id) {
    const navdata::Fix& fix = world[id];
    Shown out{fmt::format("fix {} {}", fix.ident, fix.airport.empty() ? "en route" : "of " + fix.airport),
              {}};
    out.figures.emplace_back("place", earth::to_text(fix.position));
    for (const navdata::StationId near :
         world.stations_within(fix.position, base::Length::nautical_miles(60.0))) {
        const auto radial = navdata::radial_of(world[near], fix.position);
        if (radial && navdata::vor(world[near]) != nullptr && out.figures.size() < 6) {
            out.figures.emplace_back(
                fmt::format("from {}", world[near].ident),
                fmt::format("radial {:05.1f}, {:.1f} NM", radial->degrees(),
                            earth::distance(navdata::site(world[near]), fix.position).nautical_miles()));
        }
    }
    out.figures.emplace_back("read from", origin_text(world, fix.origin));
    return out;
}

std::string runway_text(const navdata::Runway& runway) {
    return fmt::format(
        "{:.0f} ft{}{}{}", runway.length.feet(),
        runway.bearing ? fmt::format(", {:05.1f} magnetic", runway.bearing->degrees()) : std::string(),
        runway.true_bearing ? fmt::format(", {:05.1f} true", runway.true_bearing->degrees()) : std::string(),
        runway.localizer.empty() ? "" : ", localizer " + runway.localizer);
}

Shown figures_of(const Snapshot& world, navdata::RunwayId id) {
    const navdata::Runway& runway = world[id];
    Shown out{fmt::format("runway {} {}", runway.airport, runway.ident), {}};
    out.figures.emplace_back("length and direction", runway_text(runway));
    out.figures.emplace_back("threshold", runway.threshold ? earth::to_text(*runway.threshold) : "not given");
    out.figures.emplace_back("threshold elevation", feet(runway.elevation));
    if (runway.displaced > base::Length()) {
        out.figures.emplace_back("displaced", fmt::format("{:.0f} ft", runway.displaced.feet()));
    }
    out.figures.emplace_back("read from", origin_text(world, runway.origin));
    return out;
}

Shown figures_of(const Snapshot& world, navdata::AirportId id) {
    const navdata::Airport& airport = world[id];
    Shown out{fmt::format("airport {} {}", airport.ident, airport.name), {}};
    out.figures.emplace_back("place", earth::to_text(airport.position));
    out.figures.emplace_back("elevation", feet(airport.elevation));
    if (airport.variation) {
        out.figures.emplace_back("variation", east_west(airport.variation->east()));
    }
    for (const navdata::RunwayId runway : world.runways_of(airport.ident)) {
        out.figures.emplace_back(world[runway].ident, runway_text(world[runway]));
    }
    for (const navdata::Procedure* procedure : world.approaches_of(airport.ident)) {
        out.figures.emplace_back("approach", procedure->ident);
    }
    for (const navdata::Marker& marker : world.markers()) {
        if (marker.airport == airport.ident) {
            out.figures.emplace_back(fmt::format("{} of {}", navdata::name_of(marker.kind), marker.localizer),
                                     marker_text(world, marker));
        }
    }
    for (const navdata::Communication& voice : world.communications()) {
        if (voice.airport == airport.ident) {
            out.figures.emplace_back(voice.type, fmt::format("{:.3f} MHz", voice.frequency.megahertz()));
        }
    }
    for (const navdata::Origin& origin : airport.origins) {
        out.figures.emplace_back("read from", origin_text(world, origin));
    }
    return out;
}

std::string minimum_text(const navdata::PublishedMinimum& minimum) {
    if (const auto* altitude = std::get_if<base::Altitude>(&minimum)) {
        return fmt::format("{:.0f}", altitude->feet());
    }
    return std::holds_alternative<navdata::NotKnown>(minimum) ? "unknown" : "not given";
}

Shown figures_of(const Snapshot& world, navdata::AirwayId id) {
    const navdata::Airway& airway = world.airways()[id.index];
    Shown out{
        fmt::format("airway {}{}", airway.designator, airway.area_navigation ? " (RNAV: never used)" : ""),
        {}};
    for (const navdata::AirwaySegment& segment : airway.segments) {
        std::string text = fmt::format("{:.1f} NM", segment.distance.nautical_miles());
        if (segment.outbound_course) {
            text += fmt::format(", course {:05.1f}", segment.outbound_course->degrees());
        }
        text += ", minimum " + minimum_text(segment.minimum_forward);
        if (segment.minimum_backward != segment.minimum_forward) {
            text += " (back " + minimum_text(segment.minimum_backward) + ")";
        }
        text += " ft";
        if (segment.maximum) {
            text += fmt::format(", maximum {:.0f} ft", segment.maximum->feet());
        }
        if (segment.direction != navdata::AirwayDirection::both) {
            text +=
                segment.direction == navdata::AirwayDirection::forward_only ? ", one way" : ", one way back";
        }
        out.figures.emplace_back(fmt::format("{} to {}", world.ident(segment.from), world.ident(segment.to)),
                                 text);
    }
    return out;
}

std::string leg_text(const navdata::Leg& leg) {
    std::string text = navdata::to_text(leg.terminator);
    if (leg.fix) {
        text += " " + leg.fix->ident;
    }
    if (leg.recommended) {
        text += fmt::format(", by {}", leg.recommended->ident);
        if (leg.theta) {
            text += fmt::format(" {:05.1f}", leg.theta->degrees);
        }
        if (leg.rho) {
            text += fmt::format(" / {:.1f} NM", leg.rho->nautical_miles());
        }
    }
    if (leg.course) {
        text += fmt::format(", course {:05.1f}{}", leg.course->degrees, leg.course->is_true ? " true" : "");
    }
    if (leg.distance) {
        text += fmt::format(", {:.1f} NM", leg.distance->nautical_miles());
    }
    if (leg.time) {
        text += fmt::format(", {:.1f} min", base::in_minutes(*leg.time));
    }
    if (leg.altitude_1) {
        text += fmt::format(", {:.0f} ft", leg.altitude_1->feet());
    }
    return text;
}

Shown figures_of(const Snapshot& world, navdata::ProcedureId id) {
    const navdata::Procedure& procedure = world.procedures()[id.index];
    Shown out{fmt::format("procedure {} {}", procedure.airport, procedure.ident), {}};
    for (const navdata::Branch& branch : procedure.branches) {
        const std::string name = branch.transition.empty() ? navdata::approach_type_text(branch.route_type)
                                                           : "via " + branch.transition;
        for (const navdata::Leg& leg : branch.legs) {
            out.figures.emplace_back(fmt::format("{} {:03}", name, leg.sequence), leg_text(leg));
        }
    }
    return out;
}

// The runways and procedures that are asked for as AIRPORT/IDENT.
std::vector<std::pair<std::string, navdata::RecordId>> of_airport(const Snapshot& world,
                                                                  const std::string& airport) {
    std::vector<std::pair<std::string, navdata::RecordId>> known;
    for (const navdata::RunwayId runway : world.runways_of(airport)) {
        known.emplace_back(airport + "/" + world[runway].ident, runway);
    }
    for (std::uint32_t i = 0; i < world.procedures().size(); ++i) {
        const navdata::Procedure& procedure = world.procedures()[i];
        if (procedure.airport == airport) {
            known.emplace_back(airport + "/" + procedure.ident, navdata::ProcedureId{i});
        }
    }
    return known;
}

tl::unexpected<base::Error> unknown(const std::string& what, const std::string& ident,
                                    const std::vector<std::string>& known, const std::string& else_do) {
    const std::string near = base::did_you_mean(base::near_matches(ident, known));
    return base::failure(
        "app.unknown_ident",
        fmt::format("{} {} in the atlas: {}", what, base::in_quotes(ident), near.empty() ? else_do : near),
        "IDENT");
}

}  // namespace

Shown shown(const Snapshot& world, const navdata::RecordId& record) {
    return std::visit([&](auto id) { return figures_of(world, id); }, record);
}

base::Result<Found> show(const std::string& atlas, const Shipped& shipped, const std::string& ident) {
    const std::size_t stroke = ident.find('/');
    const std::string airport = ident.substr(0, stroke);
    auto opened = open_world(atlas, shipped, {{airport}, false, {}});
    if (!opened) {
        return tl::unexpected(opened.error());
    }
    Found found{std::move(*opened), {}};
    const Snapshot& world = *found.world.snapshot;
    if (stroke != std::string::npos) {
        std::vector<std::string> names;
        for (const auto& [name, record] : of_airport(world, airport)) {
            names.push_back(name);
            if (name == ident) {
                found.records.push_back(record);
            }
        }
        if (found.records.empty()) {
            return unknown("no procedure or runway", ident, names,
                           "omniway show " + airport + " lists its runways and approaches");
        }
        return found;
    }
    std::string runways_elsewhere;
    for (const navdata::Point& point : world.named(ident)) {
        // A runway's ident alone names one at every other airport.
        if (const auto* runway = std::get_if<navdata::RunwayId>(&point)) {
            runways_elsewhere = world[*runway].airport + "/" + ident;
        } else {
            std::visit([&](auto id) { found.records.emplace_back(id); }, point);
        }
    }
    for (std::uint32_t i = 0; i < world.airways().size(); ++i) {
        if (world.airways()[i].designator == ident) {
            found.records.emplace_back(navdata::AirwayId{i});
        }
    }
    if (found.records.empty() && !runways_elsewhere.empty()) {
        return unknown("no one thing named", ident, {},
                       "a runway is asked for with its airport, as " + runways_elsewhere);
    }
    if (found.records.empty()) {
        return unknown("nothing named", ident, world.idents(), "import the data that holds it");
    }
    return found;
}

}  // namespace omniway::app
