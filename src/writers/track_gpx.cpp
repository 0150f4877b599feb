#include "writers/track_gpx.hpp"

#include <cmath>
#include <iterator>
#include <string_view>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "writers/detail/caution.hpp"
#include "writers/detail/drawing.hpp"

namespace omniway::writers {

namespace {

// GPX: a new segment begins where recording was interrupted.
constexpr base::Duration longest_gap(60.0);

/// A name as it may stand in XML 1.0, which has neither controls nor U+FFFE and U+FFFF.
std::string name_in_xml(std::string_view name) {
    const std::string printable = base::in_quotes(name, name.size());
    std::string text = printable.substr(1, printable.size() - 2);
    for (const std::string_view none : {"\xEF\xBF\xBE", "\xEF\xBF\xBF"}) {
        for (std::size_t at = text.find(none); at != std::string::npos; at = text.find(none)) {
            text.replace(at, none.size(), "?");
        }
    }
    return detail::escaped(text);
}

void append_point(std::string& text, const earth::FlownTrack& track, const earth::TrackPoint& point) {
    std::string longitude = fmt::format("{:.8f}", point.place.longitude_deg());
    if (longitude == "180.00000000") {
        longitude = "-180.00000000";  // 180 itself is not in the schema
    }
    auto out = std::back_inserter(text);
    fmt::format_to(out, "      <trkpt lat=\"{:.8f}\" lon=\"{}\">", point.place.latitude_deg(), longitude);
    if (point.altitude) {
        fmt::format_to(out, "<ele>{:.3f}</ele>", point.altitude->metres());
    }
    if (track.day) {
        fmt::format_to(out, "<time>{}</time>", earth::moment_text(track.day, point.time));
    }
    text += "</trkpt>\n";
}

}  // namespace

std::string track_gpx(const earth::FlownTrack& track) {
    std::string text =
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<gpx version=\"1.1\" creator=\"omniway\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"
        "  <trk>\n";
    if (!track.name.empty()) {
        text += fmt::format("    <name>{}</name>\n", name_in_xml(track.name));
    }
    text += fmt::format("    <desc>{}</desc>\n", detail::escaped(detail::caution));
    for (std::size_t i = 0; i < track.points.size(); ++i) {
        const bool begins = i == 0 || track.points[i].time - track.points[i - 1].time > longest_gap;
        if (begins) {
            text += i == 0 ? "    <trkseg>\n" : "    </trkseg>\n    <trkseg>\n";
        }
        append_point(text, track, track.points[i]);
    }
    if (!track.points.empty()) {
        text += "    </trkseg>\n";
    }
    return text + "  </trk>\n</gpx>\n";
}

}  // namespace omniway::writers
