#pragma once

#include <optional>
#include <vector>

namespace omniway::cockpit {

/// How a VHF navigation receiver shows its course: a separate deviation indicator, or inside a heading indicator.
enum class CourseIndicator { cdi, hsi };

/// One VHF navigation receiver and the indicator it drives.
struct NavigationReceiver {
    CourseIndicator indicator = CourseIndicator::cdi;
    bool localizer = true;
    bool glideslope = false;
    friend bool operator==(const NavigationReceiver&, const NavigationReceiver&) = default;
};

/// How a DME is put on a station: by a control of its own, or by following a navigation receiver (with or without a
/// HOLD position that keeps the last channel while the receiver is retuned).
enum class DmeControl { own_control, follows_receiver, follows_receiver_with_hold };

/// How an ADF shows a bearing: against a card fixed to the nose, one turned by hand, or one slaved to the compass.
enum class AdfIndicator { fixed_card, movable_card, rmi };

/// What is aboard to navigate by radio.
///   Model     receivers in the order in which the panel numbers them; nothing else aboard can be used by a plan.
///   Domain    0 to 3 navigation receivers.
///   Accuracy  as declared by the owner.
///   Cost      a short vector.
///   Fails     never.
///   Source    design section 1; 14 CFR 91.205(d) for what IFR asks at least.
struct Equipment {
    std::vector<NavigationReceiver> receivers;
    std::optional<DmeControl> dme;
    std::optional<AdfIndicator> adf;
    bool marker_receiver = false;

    bool has_localizer() const;
    /// What shows a localizer that guides: an HSI where one is driven by a localizer receiver, else a CDI.
    std::optional<CourseIndicator> localizer_indicator() const;
    bool has_glideslope() const;
    friend bool operator==(const Equipment&, const Equipment&) = default;
};

}  // namespace omniway::cockpit
