#include "radio/marker_signal.hpp"

namespace omniway::radio {

MarkerSignal signal_of(navdata::MarkerKind marker) {
    const auto hertz = [](double tone) { return base::Frequency::kilohertz(tone / 1000.0); };
    const auto in_a_minute = [](double count) { return base::Duration(60.0 / count); };
    switch (marker) {
        case navdata::MarkerKind::outer:
            break;
        case navdata::MarkerKind::middle:
            return {MarkerKeying::dots_and_dashes, MarkerLight::amber, hertz(1300.0), in_a_minute(95.0)};
        case navdata::MarkerKind::inner:
            return {MarkerKeying::dots, MarkerLight::white, hertz(3000.0), base::Duration(1.0 / 6.0)};
        case navdata::MarkerKind::back_course:
            return {MarkerKeying::pairs_of_dots, MarkerLight::white, hertz(3000.0), in_a_minute(95.0)};
    }
    return {MarkerKeying::dashes, MarkerLight::blue, hertz(400.0), base::Duration(0.5)};
}

}  // namespace omniway::radio
