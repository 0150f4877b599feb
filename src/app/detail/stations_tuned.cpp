#include "app/detail/stations_tuned.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "cockpit/morse.hpp"

namespace omniway::app::detail {

using base::Result;
using navdata::Station;

namespace {

constexpr double same_vhf_khz = 1.0;
constexpr double same_beacon_khz = 0.5;
constexpr std::size_t most_named = 3;

// What a station must have to be read so.
enum class Wanted { vor, distance, ndb, localizer, passage, azimuth };

Wanted wanted_of(ReadingOption option, const ReadingWords& words) {
    switch (option) {
        case ReadingOption::vor:
            break;
        case ReadingOption::dme:
            return Wanted::distance;
        case ReadingOption::ndb:
            return Wanted::ndb;
        case ReadingOption::loc:
            return Wanted::localizer;
        case ReadingOption::over:
            return Wanted::passage;
        case ReadingOption::silent:
            return std::get<SilenceWords>(words.shown).distance ? Wanted::distance : Wanted::azimuth;
    }
    return Wanted::vor;
}

bool has(const Station& station, Wanted wanted) {
    const bool vor = navdata::vor(station) != nullptr;
    const bool ndb = navdata::ndb(station) != nullptr;
    const bool localizer = navdata::localizer(station) != nullptr;
    switch (wanted) {
        case Wanted::vor:
            return vor;
        case Wanted::distance:
            return station.dme.has_value();
        case Wanted::ndb:
            return ndb;
        case Wanted::localizer:
            return localizer;
        case Wanted::passage:
            return vor || ndb;
        case Wanted::azimuth:
            return vor || ndb || localizer;
    }
    return false;
}

std::string_view name_of(Wanted wanted) {
    switch (wanted) {
        case Wanted::vor:
            break;
        case Wanted::distance:
            return "DME";
        case Wanted::ndb:
            return "NDB";
        case Wanted::localizer:
            return "localizer";
        case Wanted::passage:
            return "VOR or NDB";
        case Wanted::azimuth:
            return "VOR, NDB or localizer";
    }
    return "VOR";
}

// How a station of another kind is told of.
std::string instead(const Station& station, Wanted wanted) {
    if (wanted == Wanted::azimuth) {
        return fmt::format("write {}/dme for its distance", station.ident);
    }
    return fmt::format("of that one {} tells what is read", navdata::vor(station) != nullptr   ? "--vor"
                                                            : navdata::ndb(station) != nullptr ? "--ndb"
                                                            : navdata::localizer(station) != nullptr
                                                                ? "--loc"
                                                                : "--dme");
}

bool fits(const std::string& ident, const std::string& letters) {
    return std::equal(ident.begin(), ident.end(), letters.begin(), letters.end(),
                      [](char sent, char read) { return read == '?' || sent == read; });
}

bool fits(const Station& station, const StationWords& words) {
    if (const auto* tuned = std::get_if<StationByFrequency>(&words)) {
        const double apart_khz = std::abs(station.frequency.kilohertz() - tuned->frequency.kilohertz());
        return apart_khz <= (navdata::ndb(station) != nullptr ? same_beacon_khz : same_vhf_khz);
    }
    const auto* heard = std::get_if<StationByMorse>(&words);
    return fits(station.ident, heard != nullptr ? heard->letters : std::get<StationByIdent>(words).letters);
}

// "113.20 (XAB), 113.60 (XCD)": those in the atlas that are nearest to it.
std::string near_frequencies(const navdata::Snapshot& world, Wanted wanted, base::Frequency frequency) {
    std::vector<const Station*> known;
    for (const Station& station : world.stations()) {
        if (has(station, wanted)) {
            known.push_back(&station);
        }
    }
    const auto apart = [&](const Station* station) {
        return std::abs(station->frequency.kilohertz() - frequency.kilohertz());
    };
    std::stable_sort(known.begin(), known.end(),
                     [&](const Station* a, const Station* b) { return apart(a) < apart(b); });
    known.resize(std::min(known.size(), most_named));
    std::string text;
    for (const Station* station : known) {
        text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", navdata::frequency_text(*station),
                            station->ident);
    }
    return text;
}

std::string near_idents(const navdata::Snapshot& world, Wanted wanted, const StationWords& words) {
    const auto* heard = std::get_if<StationByMorse>(&words);
    std::vector<std::string> known;
    for (const Station& station : world.stations()) {
        if (has(station, wanted)) {
            known.push_back(heard != nullptr ? cockpit::morse(station.ident) : station.ident);
        }
    }
    if (heard == nullptr) {
        return base::did_you_mean(base::near_matches(std::get<StationByIdent>(words).letters, known));
    }
    std::vector<std::string> near = base::near_matches(cockpit::morse(heard->letters), known);
    for (std::string& code : near) {
        code += fmt::format(" ({})", cockpit::letters_heard(code).value_or(""));
    }
    return base::did_you_mean(near);
}

tl::unexpected<base::Error> none_such(const navdata::Snapshot& world, Wanted wanted,
                                      const ReadingWords& words, const std::string& where) {
    const std::string named = to_text(words.station);
    const auto read_so = [&](const Station& station) { return fits(station, words.station); };
    const auto gone =
        std::find_if(world.out_of_service().begin(), world.out_of_service().end(),
                     [&](const Station& station) { return read_so(station) && has(station, wanted); });
    if (gone != world.out_of_service().end()) {
        return base::failure(
            "app.find_out_of_service",
            fmt::format("{} {} ({}) is out of service: nothing is read of it; leave it out",
                        navdata::kind_text(*gone), gone->ident, navdata::frequency_text(*gone)),
            where);
    }
    const auto other = std::find_if(world.stations().begin(), world.stations().end(), read_so);
    if (other != world.stations().end()) {
        return base::failure(
            "app.find_kind",
            fmt::format("{} is {} {}, and a {} is asked for: {}", named, navdata::kind_text(*other),
                        other->ident, name_of(wanted), instead(*other, wanted)),
            where);
    }
    if (const auto* tuned = std::get_if<StationByFrequency>(&words.station)) {
        const std::string near = near_frequencies(world, wanted, tuned->frequency);
        return base::failure(
            "app.find_frequency",
            fmt::format("no {} in the atlas is on {}: {}", name_of(wanted), named,
                        near.empty() ? "import the data that holds it" : "the nearest are on " + near),
            where);
    }
    const std::string near = near_idents(world, wanted, words.station);
    return base::failure("app.unknown_ident",
                         fmt::format("no {} {} in the atlas: {}", name_of(wanted), base::in_quotes(named),
                                     near.empty() ? "import the data that holds it" : near),
                         where);
}

}  // namespace

Result<fixing::Candidates> stations_tuned(const navdata::Snapshot& world, ReadingOption option,
                                          const ReadingWords& words, const std::string& where) {
    const Wanted wanted = wanted_of(option, words);
    fixing::Candidates found;
    for (std::size_t i = 0; i < world.stations().size(); ++i) {
        const Station& station = world.stations()[i];
        if (has(station, wanted) && fits(station, words.station)) {
            found.push_back(navdata::StationId{static_cast<std::uint32_t>(i)});
        }
    }
    if (found.empty()) {
        return none_such(world, wanted, words, where);
    }
    return found;
}

}  // namespace omniway::app::detail
