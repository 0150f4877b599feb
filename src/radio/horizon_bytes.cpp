#include <cmath>
#include <cstring>
#include <type_traits>

#include "radio/horizon.hpp"

// The form in which a horizon is kept: the numbers in the order of the members, each list after its length, in the byte
// order of the machine. It stays on the machine that made it; the first number tells another order apart.

namespace omniway::radio {

namespace {

constexpr std::uint32_t form = 0x4F480001;  // "OH", version 1

class Writer {
public:
    template <class T>
    void value(const T& v) {
        static_assert(std::is_trivially_copyable_v<T>);
        const std::size_t at = bytes_.size();
        bytes_.resize(at + sizeof(T));
        std::memcpy(bytes_.data() + at, &v, sizeof(T));
    }
    template <class T>
    void list(const std::vector<T>& v) {
        value(static_cast<std::uint32_t>(v.size()));
        const std::size_t at = bytes_.size();
        bytes_.resize(at + v.size() * sizeof(T));
        std::memcpy(bytes_.data() + at, v.data(), v.size() * sizeof(T));
    }
    std::vector<std::byte> take() { return std::move(bytes_); }

private:
    std::vector<std::byte> bytes_;
};

class Reader {
public:
    explicit Reader(std::span<const std::byte> bytes) : rest_(bytes) {}

    template <class T>
    bool value(T& v) {
        if (rest_.size() < sizeof(T)) {
            return false;
        }
        std::memcpy(&v, rest_.data(), sizeof(T));
        rest_ = rest_.subspan(sizeof(T));
        return true;
    }
    template <class T>
    bool list(std::vector<T>& v) {
        std::uint32_t size = 0;
        if (!value(size) || rest_.size() / sizeof(T) < size) {
            return false;
        }
        v.resize(size);
        std::memcpy(v.data(), rest_.data(), size * sizeof(T));
        rest_ = rest_.subspan(size * sizeof(T));
        return true;
    }
    bool at_end() const { return rest_.empty(); }

private:
    std::span<const std::byte> rest_;
};

}  // namespace

std::vector<std::byte> Horizon::to_bytes() const {
    Writer writer;
    writer.value(form);
    writer.value(antenna_.position.latitude_deg());
    writer.value(antenna_.position.longitude_deg());
    writer.value(antenna_.altitude.metres());
    writer.value(radius_m_);
    writer.value(unit_m_);
    writer.list(first_);
    writer.list(known_);
    writer.list(distance_);
    writer.list(obstacle_);
    writer.list(limit_);
    writer.list(height_m_);
    return writer.take();
}

std::optional<Horizon> Horizon::from_bytes(std::span<const std::byte> bytes) {
    Reader reader(bytes);
    std::uint32_t read_form = 0;
    double latitude_deg = 0.0;
    double longitude_deg = 0.0;
    double altitude_m = 0.0;
    double radius_m = 0.0;
    double unit_m = 0.0;
    if (!reader.value(read_form) || read_form != form || !reader.value(latitude_deg) ||
        !reader.value(longitude_deg) || !reader.value(altitude_m) || !reader.value(radius_m) ||
        !reader.value(unit_m) || !(std::abs(latitude_deg) <= 90.0) || !(std::abs(longitude_deg) <= 180.0) ||
        !std::isfinite(altitude_m)) {
        return std::nullopt;
    }
    Horizon horizon(
        {earth::Position::degrees(latitude_deg, longitude_deg), base::Altitude::metres(altitude_m)}, radius_m,
        unit_m);
    if (!reader.list(horizon.first_) || !reader.list(horizon.known_) || !reader.list(horizon.distance_) ||
        !reader.list(horizon.obstacle_) || !reader.list(horizon.limit_) || !reader.list(horizon.height_m_) ||
        !reader.at_end() || !horizon.is_sound()) {
        return std::nullopt;
    }
    return horizon;
}

/// Whether every index that a lookup uses stays inside its list.
bool Horizon::is_sound() const {
    const std::size_t vertices = distance_.size();
    if (!(radius_m_ > 0.0 && unit_m_ > 0.0 && std::isfinite(radius_m_) && std::isfinite(unit_m_)) ||
        known_.empty() || first_.size() != known_.size() + 1 || first_.front() != 0 ||
        first_.back() != vertices || obstacle_.size() != vertices || limit_.size() != vertices ||
        height_m_.size() != vertices) {
        return false;
    }
    for (std::size_t ray = 0; ray < known_.size(); ++ray) {
        if (first_[ray + 1] < first_[ray] + 2 || first_[ray + 1] > vertices || distance_[first_[ray]] != 0) {
            return false;
        }
        for (std::size_t vertex = first_[ray] + 1; vertex < first_[ray + 1]; ++vertex) {
            if (distance_[vertex] <= distance_[vertex - 1]) {
                return false;
            }
        }
    }
    for (std::size_t vertex = 0; vertex < vertices; ++vertex) {
        if (limit_[vertex] > SightLimit::unknown_ground || !std::isfinite(height_m_[vertex])) {
            return false;
        }
    }
    return true;
}

}  // namespace omniway::radio
