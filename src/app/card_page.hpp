#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "base/result.hpp"

namespace omniway::app {

/// What the time on each leg of a card tells, as its document (api/groundspeed-check.schema.json).
///   Model     flight/groundspeed_check.hpp of the card as it is written: no atlas is asked.
///   Domain    the text of a card, up to 16 MB.
///   Accuracy  as that.
///   Cost      some milliseconds.
///   Fails     as wire::parse_card().
///   Source    docs/card.md.
tl::expected<std::string, std::vector<base::Error>> groundspeed_check_of_card(const std::string& card_text);

/// A card as one page of HTML that asks nobody: it is flown from when this program is gone.
///   Model     the page as it was built (web/), with everything in it but the flight, and the card and its groundspeed check put into it as data that
///             no browser runs.
///   Domain    the text of a card; `page` empty where the program was built without it.
///   Accuracy  the card byte for byte, but for signs that would end the data: "<" is written as \u003c.
///   Cost      some milliseconds, some hundred kilobytes.
///   Fails     as wire::parse_card(); app.page_not_built.
///   Source    HTML Living Standard, 4.12.1.3 (restrictions for contents of script elements); RFC 8259, 7 (escapes).
tl::expected<std::string, std::vector<base::Error>> card_page(std::string_view page,
                                                              const std::string& card_text);

}  // namespace omniway::app
