#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "cockpit/indicator.hpp"

namespace omniway::cockpit {

/// What is heard in the headset of a station that identifies itself: its letters, once they have been keyed to the end.
///   Domain    up to six letters and digits; longer idents are cut. Empty: nothing was heard to its end yet.
class HeardIdent {
public:
    HeardIdent() = default;
    explicit HeardIdent(std::string_view letters) : size_(std::min(letters.size(), letters_.size())) {
        std::copy_n(letters.begin(), size_, letters_.begin());
    }
    std::string_view letters() const { return {letters_.data(), size_}; }
    bool empty() const { return size_ == 0; }

private:
    std::array<char, 6> letters_{};
    std::size_t size_ = 0;
};

/// A course deviation indicator or the course part of an HSI, behind one receiver.
struct CourseShown {
    bool flag = true;
    Needle needle;
    ToFrom to_from = ToFrom::neither;  // of a localizer always
};

struct GlideslopeNeedle {
    bool flag = true;
    Needle needle;
};

struct ReceiverOnPanel {
    base::Frequency active;
    base::Radial course;  // under the index
    CourseShown shown;
    GlideslopeNeedle glideslope;
    HeardIdent ident;
};

struct DistanceOnPanel {
    bool flag = true;
    base::Length reading;
    HeardIdent ident;
};

/// An ADF has no flag: what its pointer shows without a signal is of no use, and nothing but the ident tells.
struct PointerOnPanel {
    base::Frequency active;
    base::Angle relative;  // of the head from the nose, -180 to 180 degrees
    HeardIdent ident;
};

/// Everything a cockpit shows at one moment, and nothing else.
///   Model     instruments with their errors, needles with their damping; no place, no truth. Whoever flies by it sees what a person sees.
///   Domain    up to three receivers, as the aircraft has them.
///   Accuracy  that of the instruments.
///   Cost      some hundred bytes.
///   Fails     never: what is not aboard is flagged.
///   Source    design section 2, idea 3; 14 CFR 91.205(d).
struct Panel {
    base::Duration clock{0.0};      // since the take-off began
    base::MagneticBearing heading;  // of the heading indicator or HSI, which drifts
    base::MagneticBearing compass;  // of the magnetic compass
    base::Altitude altitude;        // of the altimeter
    base::VerticalSpeed vertical_speed;
    base::Speed airspeed;  // true, as read off the ring of the airspeed indicator
    std::array<ReceiverOnPanel, 3> receivers;
    std::size_t receiver_count = 0;
    DistanceOnPanel distance;
    PointerOnPanel pointer;
};

}  // namespace omniway::cockpit
