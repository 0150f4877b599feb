#include "readers/track_gpx.hpp"

#include <algorithm>
#include <memory>
#include <optional>
#include <type_traits>
#include <utility>
#include <vector>

#include <expat.h>
#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "readers/detail/track_flights.hpp"
#include "readers/detail/track_time.hpp"

namespace omniway::readers {

namespace {

using detail::NotUsed;
using detail::RawFile;
using detail::RawPoint;
using detail::RawTrack;
using detail::WrittenText;

constexpr char namespace_mark = '\n';  // expat refuses a namespace with it in its name
constexpr std::size_t deepest = 100;
constexpr std::size_t longest_text = 200;

enum class Part { other, gpx, route, waypoint, track, segment, point, name, elevation, time };

struct Name {
    std::string_view space;
    std::string_view local;
};

Name name_of(const char* told) {
    const std::string_view text(told);
    const std::size_t mark = text.find(namespace_mark);
    return mark == std::string_view::npos ? Name{{}, text}
                                          : Name{text.substr(0, mark), text.substr(mark + 1)};
}

bool is_gpx_space(std::string_view space) {
    return space.empty() || space == "http://www.topografix.com/GPX/1/1" ||
           space == "http://www.topografix.com/GPX/1/0";
}

/// What an element is, by its own name and the one it stands in.
Part part_in(Part outer, std::string_view local) {
    switch (outer) {
        case Part::gpx:
            return local == "trk"   ? Part::track
                   : local == "rte" ? Part::route
                   : local == "wpt" ? Part::waypoint
                                    : Part::other;
        case Part::track:
            return local == "trkseg" ? Part::segment : local == "name" ? Part::name : Part::other;
        case Part::segment:
            return local == "trkpt" ? Part::point : Part::other;
        case Part::point:
            return local == "ele" ? Part::elevation : local == "time" ? Part::time : Part::other;
        default:
            return Part::other;
    }
}

std::string_view collapsed(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t first = text.find_first_not_of(blanks);
    return first == std::string_view::npos ? std::string_view()
                                           : text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

/// Without the part of a UTF-8 character where the text was cut at its greatest length.
std::string_view whole_characters(std::string_view text) {
    if (text.size() < longest_text) {
        return text;
    }
    std::size_t last = text.size() - 1;
    while (last > 0 && (static_cast<unsigned char>(text[last]) & 0xC0U) == 0x80U) {
        --last;
    }
    return static_cast<unsigned char>(text[last]) < 0x80U ? text : text.substr(0, last);
}

bool ends_early(XML_Error error) {
    return error == XML_ERROR_NO_ELEMENTS || error == XML_ERROR_UNCLOSED_TOKEN ||
           error == XML_ERROR_PARTIAL_CHAR || error == XML_ERROR_UNCLOSED_CDATA_SECTION;
}

class GpxReader {
public:
    GpxReader(std::string_view bytes, const std::string& name)
        : bytes_(bytes), name_(name), parser_(XML_ParserCreateNS(nullptr, namespace_mark)) {
        file_.form = TrackForm::gpx;
        file_.not_used = NotUsed(name);
        if (parser_) {
            XML_SetUserData(parser_.get(), this);
            XML_SetElementHandler(parser_.get(), &on_start, &on_end);
            XML_SetCharacterDataHandler(parser_.get(), &on_text);
            XML_SetStartDoctypeDeclHandler(parser_.get(), &on_document_type);
        }
    }

    base::Result<RawFile> read() {
        const bool whole = parser_ && XML_Parse(parser_.get(), bytes_.data(), static_cast<int>(bytes_.size()),
                                                XML_TRUE) == XML_STATUS_OK;
        if (refused_) {
            return tl::unexpected<base::Error>(*refused_);
        }
        if (!whole) {
            const XML_Error error = parser_ ? XML_GetErrorCode(parser_.get()) : XML_ERROR_NO_MEMORY;
            if (!ends_early(error) || !has_points()) {
                return tl::unexpected<base::Error>(not_xml(error));
            }
            file_.not_used.remark(
                "remark.track_cut_short",
                "the file ends early, before its last element is closed; what was whole is used", line(),
                column());
        }
        if (file_.tracks.empty()) {
            return base::failure(
                "track.no_track",
                fmt::format("the file has no track (trk): what it has, {} route{} and {} waypoint{}, was "
                            "planned, and a track "
                            "is recorded in flight",
                            routes_, routes_ == 1 ? "" : "s", waypoints_, waypoints_ == 1 ? "" : "s"),
                name_);
        }
        return std::move(file_);
    }

private:
    static void on_start(void* self, const XML_Char* name, const XML_Char** attributes) {
        static_cast<GpxReader*>(self)->start(name_of(name), attributes);
    }
    static void on_end(void* self, const XML_Char* /*name*/) { static_cast<GpxReader*>(self)->end(); }
    static void on_text(void* self, const XML_Char* text, int length) {
        static_cast<GpxReader*>(self)->text({text, static_cast<std::size_t>(length)});
    }
    static void on_document_type(void* self, const XML_Char* /*name*/, const XML_Char* /*system*/,
                                 const XML_Char* /*publicly*/, int /*internal*/) {
        static_cast<GpxReader*>(self)->refuse(
            "track.document_type",
            "the file declares a document type (DOCTYPE), which GPX has none of; "
            "remove it: nothing is expanded or fetched for a track");
    }

    std::uint32_t line() const { return static_cast<std::uint32_t>(XML_GetCurrentLineNumber(parser_.get())); }
    std::uint32_t column() const {
        return static_cast<std::uint32_t>(XML_GetCurrentColumnNumber(parser_.get()) + 1);
    }

    void refuse(std::string code, std::string message) {
        if (!refused_) {
            refused_ = base::Error{std::move(code), std::move(message),
                                   fmt::format("{}:{}:{}", name_, line(), column())};
        }
        XML_StopParser(parser_.get(), XML_FALSE);
    }

    base::Error not_xml(XML_Error error) const {
        return {"track.not_xml",
                fmt::format("the file is no XML that can be read: {}; write it again, or fetch it again",
                            XML_ErrorString(error)),
                parser_ ? fmt::format("{}:{}:{}", name_, line(), column()) : name_};
    }

    bool has_points() const {
        return std::any_of(file_.tracks.begin(), file_.tracks.end(), [](const RawTrack& track) {
            return !track.points.empty() || track.not_used.counts().rows > 0;
        });
    }

    void start(const Name& name, const XML_Char** attributes) {
        if (refused_) {
            return;
        }
        if (inside_.empty()) {
            if (name.local != "gpx" || !is_gpx_space(name.space)) {
                return refuse(
                    "track.not_gpx",
                    fmt::format("the outermost element is {}, and that of GPX 1.1 or 1.0 is gpx; export the "
                                "track as GPX",
                                base::in_quotes(name.local)));
            }
            space_ = name.space;
            inside_.push_back(Part::gpx);
            return;
        }
        if (inside_.size() == deepest) {
            return refuse("track.not_gpx",
                          fmt::format("elements stand {} deep in one another; at most {} are read",
                                      deepest + 1, deepest));
        }
        const Part part = name.space == space_ ? part_in(inside_.back(), name.local) : Part::other;
        inside_.push_back(part);
        begin(part, attributes);
    }

    void begin(Part part, const XML_Char** attributes) {
        switch (part) {
            case Part::track:
                file_.tracks.push_back({{}, {}, NotUsed(name_)});
                break;
            case Part::route:
                ++routes_;
                break;
            case Part::waypoint:
                ++waypoints_;
                break;
            case Part::point:
                begin_point(attributes);
                break;
            case Part::name:
            case Part::elevation:
            case Part::time:
                text_.clear();
                text_line_ = line();
                text_column_ = column();
                break;
            default:
                break;
        }
    }

    void begin_point(const XML_Char** attributes) {
        point_ = RawPoint();
        point_.line = line();
        point_.column = column();
        latitude_.clear();
        longitude_.clear();
        time_.reset();
        elevation_.reset();
        for (std::size_t i = 0; attributes[i] != nullptr; i += 2) {
            const std::string_view name(attributes[i]);
            if (name == "lat") {
                latitude_ = attributes[i + 1];
            } else if (name == "lon") {
                longitude_ = attributes[i + 1];
            }
        }
        if (++points_ > detail::most_track_points) {
            refuse("track.too_many_points", fmt::format("more than {} points; give the part that is needed",
                                                        detail::most_track_points));
        }
    }

    void text(std::string_view piece) {
        if (refused_ || inside_.empty()) {
            return;
        }
        const Part part = inside_.back();
        if (part == Part::name || part == Part::elevation || part == Part::time) {
            text_ += piece.substr(0, longest_text - std::min(longest_text, text_.size()));
        }
    }

    void end() {
        if (refused_ || inside_.empty()) {
            return;
        }
        const Part part = inside_.back();
        inside_.pop_back();
        if (part == Part::name) {
            file_.tracks.back().name = collapsed(whole_characters(text_));
        } else if (part == Part::elevation) {
            elevation_ = Kept{text_, text_line_, text_column_};
        } else if (part == Part::time) {
            time_ = Kept{text_, text_line_, text_column_};
        } else if (part == Part::point) {
            end_point();
        }
    }

    void end_point() {
        RawTrack& track = file_.tracks.back();
        NotUsed& not_used = track.not_used;
        const auto latitude = not_used.number({latitude_, point_.line, point_.column}, "latitude (lat)",
                                              "degrees", -90.0, 90.0);
        if (!latitude) {
            return;
        }
        const auto longitude = not_used.number({longitude_, point_.line, point_.column}, "longitude (lon)",
                                               "degrees", -180.0, 180.0);
        if (!longitude) {
            return;
        }
        if (!time_) {
            not_used.row("track.no_time", "the point has no time, and is of no use to a flight without it",
                         point_.line, point_.column);
            return;
        }
        const auto moment = detail::written_moment(collapsed(time_->text));
        if (!moment || !moment->dated) {
            not_used.row(moment ? "track.date_missing" : moment.error().code,
                         moment ? "the time has no date; GPX has both in one, as 2026-11-26T14:07:30Z"
                                : moment.error().message,
                         time_->line, time_->column);
            return;
        }
        point_.time = *moment;
        point_.place = earth::Position::degrees(*latitude, *longitude);
        if (elevation_) {
            point_.altitude =
                not_used.altitude({elevation_->text, elevation_->line, elevation_->column}, false);
        }
        track.points.push_back(point_);
    }

    struct Kept {
        std::string text;
        std::uint32_t line = 1;
        std::uint32_t column = 1;
    };
    struct Free {
        void operator()(XML_Parser parser) const { XML_ParserFree(parser); }
    };

    std::string_view bytes_;
    const std::string& name_;
    std::unique_ptr<std::remove_pointer_t<XML_Parser>, Free> parser_;
    RawFile file_;
    std::optional<base::Error> refused_;
    std::string space_;
    std::vector<Part> inside_;
    std::string text_;
    std::uint32_t text_line_ = 1;
    std::uint32_t text_column_ = 1;
    RawPoint point_;
    std::string latitude_;
    std::string longitude_;
    std::optional<Kept> time_;
    std::optional<Kept> elevation_;
    std::size_t points_ = 0;
    std::size_t routes_ = 0;
    std::size_t waypoints_ = 0;
};

}  // namespace

base::Result<TrackReading> read_track_gpx(std::string_view bytes, const std::string& name,
                                          const TrackSetting& setting) {
    return detail::the_flight(GpxReader(bytes, name).read(), setting);
}

}  // namespace omniway::readers
