#include "readers/geojson_coastline.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <optional>
#include <system_error>
#include <utility>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "base/in_quotes.hpp"

namespace omniway::readers {

namespace {

using nlohmann::json;

constexpr std::size_t fewest_positions = 4;  // of a linear ring, RFC 7946 3.1.6

std::string pointer(const std::string& parent, std::size_t index) {
    return fmt::format("{}/{}", parent, index);
}

std::string place(std::string_view bytes, const std::string& file_name, std::size_t offset) {
    const std::string_view before = bytes.substr(0, std::min(offset, bytes.size()));
    const std::size_t line_start = before.rfind('\n') == std::string_view::npos ? 0 : before.rfind('\n') + 1;
    return fmt::format("{}:{}:{}", file_name, std::count(before.begin(), before.end(), '\n') + 1,
                       before.size() - line_start + 1);
}

/// Reads bytes and tells how many it has given.
class CountingIterator {
public:
    using iterator_category = std::input_iterator_tag;
    using value_type = char;
    using difference_type = std::ptrdiff_t;
    using pointer = const char*;
    using reference = const char&;

    CountingIterator(const char* at, std::size_t* given) : at_(at), given_(given) {}
    reference operator*() const { return *at_; }
    CountingIterator& operator++() {
        ++at_;
        ++*given_;
        return *this;
    }
    CountingIterator operator++(int) {
        const CountingIterator before = *this;
        ++*this;
        return before;
    }
    friend bool operator==(const CountingIterator& a, const CountingIterator& b) { return a.at_ == b.at_; }
    friend bool operator!=(const CountingIterator& a, const CountingIterator& b) { return !(a == b); }

private:
    const char* at_;
    std::size_t* given_;
};

/// Finds where in the file the values of given pointers end, or where the file stops being JSON.
class Finder : public json::json_sax_t {
public:
    Finder(std::string_view bytes, std::map<std::string, std::size_t>& wanted)
        : bytes_(bytes), wanted_(wanted) {
        json::sax_parse(CountingIterator(bytes.data(), &given_),
                        CountingIterator(bytes.data() + bytes.size(), &given_), this);
    }

    std::size_t fault_at() const { return fault_at_; }
    const std::string& fault() const { return fault_; }

    bool null() override { return value(); }
    bool boolean(bool) override { return value(); }
    bool number_integer(json::number_integer_t) override { return value(); }
    bool number_unsigned(json::number_unsigned_t) override { return value(); }
    bool number_float(json::number_float_t, const std::string&) override { return value(); }
    bool string(std::string&) override { return value(); }
    bool binary(json::binary_t&) override { return value(); }
    bool start_object(std::size_t) override { return open(false); }
    bool end_object() override { return close(); }
    bool start_array(std::size_t) override { return open(true); }
    bool end_array() override { return close(); }
    bool key(std::string& name) override {
        open_.back().name = name;
        return true;
    }
    bool parse_error(std::size_t position, const std::string& last, const json::exception&) override {
        fault_at_ = position > 0 ? position - 1 : 0;
        fault_ = last;
        return false;
    }

private:
    struct Container {
        bool array;
        std::size_t index;
        std::string name;
    };

    std::string here() const {
        std::string text;
        for (const Container& container : open_) {
            text += '/';
            text += container.array ? std::to_string(container.index) : container.name;
        }
        return text;
    }
    void note() {
        if (const auto found = wanted_.find(here()); found != wanted_.end()) {
            found->second = start_of_token();
        }
    }
    /// The parser has read the value's first token, and of a number one byte more.
    std::size_t start_of_token() const {
        const std::size_t end = given_ > 0 ? given_ - 1 : 0;
        if (bytes_[end] == '[' || bytes_[end] == '{') {
            return end;
        }
        if (bytes_[end] == '"') {
            const std::size_t quote = end > 0 ? bytes_.rfind('"', end - 1) : std::string_view::npos;
            return quote == std::string_view::npos ? end : quote;
        }
        std::size_t start = end;
        const auto in_word = [](char c) {
            return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || c == 'E' || c == '+' || c == '-' ||
                   c == '.';
        };
        while (start > 0 && in_word(bytes_[start - 1])) {
            --start;
        }
        return start;
    }
    bool value() {
        note();
        next();
        return true;
    }
    bool open(bool array) {
        note();
        open_.push_back({array, 0, {}});
        return true;
    }
    bool close() {
        open_.pop_back();
        next();
        return true;
    }
    void next() {
        if (!open_.empty() && open_.back().array) {
            ++open_.back().index;
        }
    }

    std::string_view bytes_;
    std::map<std::string, std::size_t>& wanted_;
    std::size_t given_ = 0;
    std::vector<Container> open_;
    std::size_t fault_at_ = 0;
    std::string fault_;
};

std::string kind_of(const json& value) {
    if (value.is_object()) {
        return "an object";
    }
    if (value.is_array()) {
        return fmt::format("a list of {}", value.size());
    }
    if (value.is_string()) {
        return base::in_quotes(value.get<std::string>());
    }
    return value.dump();
}

/// A position in the file's own longitudes, so that both meridians of 180 degrees are told apart.
struct Vertex {
    double longitude_deg;
    double latitude_deg;
};

/// How far east the way to the next vertex leads, the shorter way round.
double eastwards_deg(const Vertex& from, const Vertex& to) {
    return std::remainder(to.longitude_deg - from.longitude_deg, 360.0);
}

class Reader {
public:
    explicit Reader(CoastlineReading& reading) : reading_(reading) {}

    std::map<std::string, std::size_t>& places() { return places_; }

    /// A geometry, a feature or a collection of either; false where it is none of these.
    bool read(const json& value, const std::string& at) {
        const auto type = value.is_object() ? value.find("type") : value.end();
        if (!value.is_object() || type == value.end() || !type->is_string()) {
            return false;
        }
        const auto& word = type->get_ref<const std::string&>();
        if (word == "FeatureCollection") {
            return each(value, "features", at);
        }
        if (word == "GeometryCollection") {
            return each(value, "geometries", at);
        }
        if (word == "Feature") {
            return feature(value, at);
        }
        if (word == "Polygon") {
            return polygon(member(value, "coordinates"), at + "/coordinates");
        }
        if (word == "MultiPolygon") {
            return multi_polygon(member(value, "coordinates"), at + "/coordinates");
        }
        constexpr std::string_view lines_and_points[] = {"Point", "MultiPoint", "LineString",
                                                         "MultiLineString"};
        if (std::find(std::begin(lines_and_points), std::end(lines_and_points), word) ==
            std::end(lines_and_points)) {
            return false;
        }
        refuse(
            "coastline.not_an_area",
            fmt::format("a {} encloses no land; a coastline is read from Polygons and MultiPolygons of land",
                        word),
            at);
        return true;
    }

private:
    static const json* member(const json& value, const char* name) {
        const auto found = value.find(name);
        return found == value.end() ? nullptr : &*found;
    }

    bool each(const json& value, const char* name, const std::string& at) {
        const json* list = member(value, name);
        if (list == nullptr || !list->is_array()) {
            return false;
        }
        for (std::size_t i = 0; i < list->size(); ++i) {
            const std::string here = pointer(at + "/" + name, i);
            if (!read((*list)[i], here)) {
                refuse("coastline.wrong_type",
                       fmt::format("{} is no feature and no geometry of GeoJSON", kind_of((*list)[i])), here);
            }
        }
        return true;
    }

    bool feature(const json& value, const std::string& at) {
        const json* geometry = member(value, "geometry");
        if (geometry == nullptr || geometry->is_null()) {
            refuse("coastline.no_geometry", "the feature has no geometry", at);
            return true;
        }
        if (!read(*geometry, at + "/geometry")) {
            refuse("coastline.wrong_type", fmt::format("{} is no geometry of GeoJSON", kind_of(*geometry)),
                   at + "/geometry");
        }
        return true;
    }

    bool multi_polygon(const json* list, const std::string& at) {
        if (list == nullptr || !list->is_array()) {
            refuse("coastline.wrong_type", "a list of polygons must stand here", at);
            return true;
        }
        for (std::size_t i = 0; i < list->size(); ++i) {
            polygon(&(*list)[i], pointer(at, i));
        }
        return true;
    }

    bool polygon(const json* rings, const std::string& at) {
        if (rings == nullptr || !rings->is_array()) {
            refuse("coastline.wrong_type", "a list of rings must stand here", at);
            return true;
        }
        for (std::size_t i = 0; i < rings->size(); ++i) {
            ring((*rings)[i], pointer(at, i), i == 0);
        }
        return true;
    }

    /// The first ring of a polygon is its outer shore, the others are lakes.
    void ring(const json& positions, const std::string& at, bool outer) {
        auto vertices = vertices_of(positions, at);
        if (!vertices) {
            return;
        }
        ++reading_.counts.rows;
        ++reading_.counts.used;
        if (runs_clockwise(*vertices) == outer) {
            std::reverse(vertices->begin(), vertices->end());
            ++reading_.counts.remarks;
            note("remark.ring_turned",
                 fmt::format("the ring runs {}, and the land would lie on its right; it is turned round (RFC "
                             "7946, 3.1.6)",
                             outer ? "clockwise" : "anticlockwise"),
                 at);
        }
        earth::CoastlineRing shore;
        for (const Vertex& vertex : *vertices) {
            shore.vertices.push_back(earth::Position::degrees(vertex.latitude_deg, vertex.longitude_deg));
        }
        reading_.value.push_back(std::move(shore));
    }

    /// Without the last, which repeats the first; none where it is refused.
    std::optional<std::vector<Vertex>> vertices_of(const json& positions, const std::string& at) {
        if (!positions.is_array()) {
            refuse("coastline.wrong_type", fmt::format("{} is no list of positions", kind_of(positions)), at);
            return std::nullopt;
        }
        if (positions.size() < fewest_positions) {
            refuse("coastline.too_few_positions",
                   fmt::format("the ring has {} positions; a closed ring has at least {}", positions.size(),
                               fewest_positions),
                   at);
            return std::nullopt;
        }
        std::vector<Vertex> vertices;
        vertices.reserve(positions.size());
        for (std::size_t i = 0; i < positions.size(); ++i) {
            const auto vertex = vertex_of(positions[i], at, i);
            if (!vertex) {
                return std::nullopt;
            }
            if (i > 0 && std::abs(eastwards_deg(vertices.back(), *vertex)) == 180.0) {
                refuse(
                    "coastline.half_way_round",
                    fmt::format(
                        "from longitude {} to {} degrees is half way round the earth, and which way is not "
                        "told; give a position between",
                        vertices.back().longitude_deg, vertex->longitude_deg),
                    pointer(at, i));
                return std::nullopt;
            }
            vertices.push_back(*vertex);
        }
        const Vertex& first = vertices.front();
        const Vertex& last = vertices.back();
        if (first.longitude_deg != last.longitude_deg || first.latitude_deg != last.latitude_deg) {
            refuse("coastline.ring_not_closed",
                   fmt::format(
                       "the ring ends at [{}, {}] and began at [{}, {}]; its last position must be its first",
                       last.longitude_deg, last.latitude_deg, first.longitude_deg, first.latitude_deg),
                   pointer(at, positions.size() - 1));
            return std::nullopt;
        }
        vertices.pop_back();
        return vertices;
    }

    std::optional<Vertex> vertex_of(const json& position, const std::string& ring, std::size_t index) {
        if (!position.is_array() || position.size() < 2 || !position[0].is_number() ||
            !position[1].is_number()) {
            refuse("coastline.wrong_type",
                   fmt::format("{} is no position: [longitude, latitude] in degrees", kind_of(position)),
                   pointer(ring, index));
            return std::nullopt;
        }
        const Vertex vertex{position[0].get<double>(), position[1].get<double>()};
        if (!(std::abs(vertex.longitude_deg) <= 180.0)) {
            refuse("coastline.out_of_range",
                   fmt::format("longitude {} degrees is outside the allowed range -180 to 180",
                               vertex.longitude_deg),
                   pointer(pointer(ring, index), 0));
            return std::nullopt;
        }
        if (!(std::abs(vertex.latitude_deg) <= 90.0)) {
            refuse("coastline.out_of_range",
                   fmt::format("latitude {} degrees is outside the allowed range -90 to 90",
                               vertex.latitude_deg),
                   pointer(pointer(ring, index), 1));
            return std::nullopt;
        }
        return vertex;
    }

    /// By the area in latitude and longitude. A ring about a pole has none; it is left as it runs.
    static std::optional<bool> runs_clockwise(const std::vector<Vertex>& vertices) {
        double twice_area = 0.0;
        double east_deg = 0.0;
        for (std::size_t i = 0; i < vertices.size(); ++i) {
            const Vertex& from = vertices[i];
            const Vertex& to = vertices[(i + 1) % vertices.size()];
            const double step_deg = eastwards_deg(from, to);
            twice_area -= step_deg * (from.latitude_deg + to.latitude_deg);
            east_deg += step_deg;
        }
        if (std::abs(east_deg) > 180.0 || twice_area == 0.0) {
            return std::nullopt;
        }
        return twice_area < 0.0;
    }

    void refuse(std::string code, std::string message, const std::string& at) {
        ++reading_.counts.rows;
        ++reading_.counts.not_used[code];
        note(std::move(code), std::move(message), at);
    }
    void note(std::string code, std::string message, const std::string& at) {
        places_.emplace(at, 0);
        reading_.diagnostics.push_back({std::move(code), std::move(message), at});
    }

    CoastlineReading& reading_;
    std::map<std::string, std::size_t> places_;
};

/// The member "crs" of an older GeoJSON, where it names another system than longitude and latitude on WGS 84.
std::optional<base::Error> other_system(const json& value, const std::string& file_name) {
    const auto crs = value.is_object() ? value.find("crs") : value.end();
    if (crs == value.end() || crs->is_null()) {
        return std::nullopt;
    }
    const std::string text = crs->dump(-1, ' ', false, json::error_handler_t::replace);
    for (const std::string_view known : {"CRS84", "EPSG::4326", "EPSG:4326"}) {
        if (text.find(known) != std::string::npos) {
            return std::nullopt;
        }
    }
    return base::Error{
        "coastline.other_system",
        fmt::format("the coordinates are in the system {}; RFC 7946 allows longitude and latitude on WGS 84 "
                    "(CRS84) alone",
                    text.substr(0, 120)),
        file_name + ":/crs"};
}

}  // namespace

bool looks_like_geojson(std::string_view bytes) {
    if (bytes.starts_with("\xEF\xBB\xBF")) {
        bytes.remove_prefix(3);
    }
    const std::size_t first = bytes.find_first_not_of(" \t\r\n");
    return first != std::string_view::npos && bytes[first] == '{';
}

base::Result<CoastlineReading> read_geojson_coastline(std::string_view bytes, const std::string& file_name) {
    const json whole = json::parse(bytes.begin(), bytes.end(), nullptr, false);
    std::map<std::string, std::size_t> none;
    if (whole.is_discarded()) {
        const Finder finder(bytes, none);
        return base::failure("coastline.not_json",
                             fmt::format("the file is no JSON: {} cannot stand here; it may be cut short",
                                         base::in_quotes(finder.fault())),
                             place(bytes, file_name, finder.fault_at()));
    }
    if (auto fault = other_system(whole, file_name)) {
        return tl::unexpected(std::move(*fault));
    }
    CoastlineReading reading;
    Reader reader(reading);
    if (!reader.read(whole, "")) {
        return base::failure(
            "coastline.not_geojson",
            "the file is JSON and not GeoJSON: a FeatureCollection, a Feature or a geometry must stand at "
            "its top, as its member \"type\" tells (RFC 7946)",
            file_name + ":1:1");
    }
    if (!reading.diagnostics.empty()) {
        const Finder finder(bytes, reader.places());
        for (base::Error& diagnostic : reading.diagnostics) {
            diagnostic.where = fmt::format(
                "{}:{}", place(bytes, file_name, reader.places()[diagnostic.where]), diagnostic.where);
        }
    }
    return reading;
}

base::Result<CoastlineReading> read_geojson_coastline_file(const std::string& path) {
    constexpr std::uintmax_t largest_file_bytes = std::uintmax_t{1} << 30U;
    std::error_code problem;
    const std::uintmax_t size = std::filesystem::file_size(path, problem);
    if (!problem && size > largest_file_bytes) {
        return base::failure(
            "read.file_too_large",
            fmt::format("the file has {} bytes; at most {} are read", size, largest_file_bytes), path);
    }
    std::ifstream stream(path, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    if (problem || !stream || bytes.size() != size) {
        return base::failure(
            "read.file_unreadable",
            fmt::format("the file cannot be read{}{}", problem ? ": " : "", problem ? problem.message() : ""),
            path);
    }
    return read_geojson_coastline(bytes, path);
}

bool is_geojson_file(const std::string& path) {
    std::error_code problem;
    if (!std::filesystem::is_regular_file(path, problem)) {
        return false;
    }
    std::array<char, 4096> first{};
    std::ifstream stream(path, std::ios::binary);
    stream.read(first.data(), static_cast<std::streamsize>(first.size()));
    return looks_like_geojson({first.data(), static_cast<std::size_t>(stream.gcount())});
}

}  // namespace omniway::readers
