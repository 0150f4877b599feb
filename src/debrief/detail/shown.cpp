#include <algorithm>

#include <fmt/format.h>

#include "debrief/detail/measured.hpp"
#include "earth/geodesic.hpp"

namespace omniway::debrief::detail {

using base::Duration;
using Shape = flight::StepLine::Shape;

std::optional<GuideShown> guide_shown(Laid& laid, const Stretch& stretch) {
    const auto& [step, first, end] = stretch;
    const StepPath& path = laid.path(step);
    if (!path.line.station) {
        return std::nullopt;
    }
    const navdata::Station& station = laid.circumstances().world[*path.line.station];
    GuideShown guide;
    guide.aid = {station.ident, navdata::kind_text(station), station.frequency};
    const bool by_distance = path.line.shape == Shape::arc;
    const auto* radial = std::get_if<flight::FollowRadial>(&laid.on_card(step).guidance);
    double seconds = 0.0;
    double heard_s = 0.0;
    double arrows_s = 0.0;
    for (std::size_t i = first; i < end; ++i) {
        const double lasts_s = laid.samples()[i].lasts_s;
        const Moment here = laid.moment(laid.samples()[i], step);
        const auto silence = laid.instruments().silence(
            *path.line.station, by_distance ? radio::Part::distance : radio::Part::azimuth, here,
            path.line.published);
        if (silence == radio::Silence::overhead) {
            continue;
        }
        seconds += lasts_s;
        if (silence != radio::Silence::none) {
            guide.silence = guide.silence == radio::Silence::none ? silence : guide.silence;
            continue;
        }
        heard_s += lasts_s;
        if (radial != nullptr) {
            const auto shows = laid.instruments().shows(
                *path.line.station, silence, cockpit::CourseSetting{.course = radial->course}, here);
            const auto* vor = std::get_if<cockpit::VorShown>(&shows);
            arrows_s += vor != nullptr &&
                                vor->to_from == (radial->toward ? cockpit::ToFrom::to : cockpit::ToFrom::from)
                            ? lasts_s
                            : 0.0;
        } else {
            arrows_s += lasts_s;
        }
    }
    guide.heard_share = seconds > 0.0 ? heard_s / seconds : 1.0;
    guide.arrows_share = heard_s > 0.0 ? arrows_s / heard_s : 1.0;
    return guide;
}

std::vector<ShownAt> instruments_shown(Laid& laid, const Stretch& stretch) {
    const std::size_t step = stretch.step;
    const std::size_t first = stretch.first;
    std::vector<ShownAt> all;
    const Moment here = laid.moment(laid.samples()[first], step);
    const flight::StepRadios& radios = laid.on_card(step).radios;
    const bool published = laid.path(step).line.published;
    const auto look = [&](const std::string& set, const flight::NamedAid& aid,
                          const std::optional<base::Radial>& course, radio::Part part,
                          const cockpit::IndicatorSetting& setting) {
        const auto station = laid.instruments().named(aid, here.place);
        if (!station) {
            all.push_back({set, aid, course, cockpit::NoSignal{}});
            return;
        }
        const auto silence = laid.instruments().silence(*station, part, here, published);
        all.push_back({set, aid, course, laid.instruments().shows(*station, silence, setting, here)});
    };
    const auto& receivers = laid.circumstances().aircraft.equipment.receivers;
    for (const flight::ReceiverStands& stands : radios.receivers) {
        if (stands.active && stands.number >= 1 &&
            static_cast<std::size_t>(stands.number) <= receivers.size()) {
            cockpit::CourseSetting setting;
            setting.course = stands.course.value_or(base::Radial());
            setting.indicator = receivers[static_cast<std::size_t>(stands.number) - 1].indicator;
            look(fmt::format("NAV{}", stands.number), *stands.active, stands.course, radio::Part::azimuth,
                 setting);
        }
    }
    if (radios.distance && radios.distance->of) {
        look("DME", *radios.distance->of, std::nullopt, radio::Part::distance, cockpit::DistanceSetting{});
    }
    if (radios.adf && radios.adf->aid) {
        look("ADF", *radios.adf->aid, std::nullopt, radio::Part::azimuth,
             cockpit::PointerSetting{cockpit::AdfIndicator::fixed_card, {}});
    }
    return all;
}

std::optional<EndShown> end_shown(Laid& laid, const Stretch& stretch, const StepDebriefed& told,
                                  std::span<const StepDebriefed> earlier) {
    const auto& [step, first, end] = stretch;
    if (end >= laid.samples().size()) {
        return std::nullopt;  // the record ends before the step does
    }
    const double ended_s = told.fix && told.fix->turned_after
                               ? (told.fix->at + *told.fix->turned_after).count()
                               : laid.samples()[end].time_s;
    const Sample& sample = laid.samples()[std::max(laid.sample_at(ended_s), first)];
    const Moment here = laid.moment(sample, step);
    const bool published = laid.path(step).line.published;
    const flight::StepEnd& meant = laid.on_card(step).end;
    const auto station_of = [&](const flight::NamedAid& aid) {
        return laid.instruments().named(aid, here.place);
    };
    if (const auto* reading = std::get_if<flight::ReadingReached>(&meant)) {
        if (const auto station = station_of(reading->aid)) {
            const auto silence = laid.instruments().silence(*station, radio::Part::distance, here, published);
            const auto shows = laid.instruments().shows(*station, silence, cockpit::DistanceSetting{}, here);
            if (const auto* shown = std::get_if<cockpit::DistanceShown>(&shows)) {
                return ReadingEnd{reading->aid, reading->reading, shown->reading};
            }
        }
    } else if (const auto* radial = std::get_if<flight::RadialCentres>(&meant)) {
        if (const auto station = station_of(radial->aid)) {
            const auto silence = laid.instruments().silence(*station, radio::Part::azimuth, here, published);
            const auto shows = laid.instruments().shows(
                *station, silence, cockpit::CourseSetting{.course = radial->course}, here);
            if (const auto* vor = std::get_if<cockpit::VorShown>(&shows)) {
                return LineEnd{radial->aid, vor->needle.deflection};
            }
        }
    } else if (const auto* bearing = std::get_if<flight::BearingReached>(&meant)) {
        if (const auto station = station_of(bearing->aid)) {
            const base::TrueBearing to =
                earth::bearing(here.place, navdata::site(laid.circumstances().world[*station]));
            return LineEnd{bearing->aid, laid.instruments().magnetic(to, here.place) - bearing->to_station};
        }
    } else if (const auto* localizer = std::get_if<flight::LocalizerCentres>(&meant)) {
        if (const auto station = station_of(localizer->aid)) {
            const auto silence = laid.instruments().silence(*station, radio::Part::azimuth, here, published);
            const auto shows = laid.instruments().shows(*station, silence, cockpit::CourseSetting{}, here);
            if (const auto* shown = std::get_if<cockpit::LocalizerShown>(&shows)) {
                return LineEnd{localizer->aid, shown->needle.deflection};
            }
        }
    } else if (const auto* time = std::get_if<flight::TimeOut>(&meant)) {
        Duration since = told.began;
        for (const StepDebriefed& before : earlier) {
            if (before.fix && !before.to.empty() && before.to == time->since) {
                since = before.fix->at;
            }
        }
        return TimeEnd{time->time, Duration(sample.time_s) - since};
    } else if (const auto* altitude = std::get_if<flight::AltitudeReached>(&meant)) {
        if (sample.altitude) {
            return AltitudeEnd{altitude->altitude, *sample.altitude};
        }
    }
    return std::nullopt;
}

}  // namespace omniway::debrief::detail
