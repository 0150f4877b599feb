#pragma once

#include <cstddef>
#include <functional>

namespace omniway::base {

/// Does the same work for each of 0, 1, ... count - 1, on all processors.
///   Model     each piece is done once, by whichever thread is free; pieces must not depend on each other, and write only
///             what is their own, so that the result does not depend on the number of threads.
///   Domain    any count; `threads` 0 is as many as there are processors, 1 does all of it here.
///   Accuracy  exact.
///   Cost      one thread a processor, started and ended here; one atomic addition a piece.
///   Fails     with the exception of the first piece that throws (by number, among those begun); no further piece is begun.
///   Source    common practice, no source.
void parallel_for(std::size_t count, const std::function<void(std::size_t)>& piece, unsigned threads = 0);

}  // namespace omniway::base
