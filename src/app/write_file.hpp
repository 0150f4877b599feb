#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"

namespace omniway::app {

/// Writes a file whole or not at all: under a temporary name beside it, renamed at the end.
///   Model     what stood there before stays until the new one is complete.
///   Domain    any bytes.
///   Accuracy  exact.
///   Cost      one write.
///   Fails     app.not_writable, with the system's reason.
///   Source    common practice, no source.
base::Result<void> write_file(const std::string& path, std::string_view bytes);

}  // namespace omniway::app
