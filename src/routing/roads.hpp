#pragma once

#include "routing/edge_memo.hpp"
#include "routing/network.hpp"

namespace omniway::routing {

/// What may outlive a question about one snapshot: its network, and the memo of its judged edges.
///   Model     kept by whoever keeps the snapshot; what is answered does not depend on what is remembered.
///   Domain    one snapshot and one terrain; any number of threads.
///   Accuracy  as routing/edge_memo.hpp.
///   Cost      as routing/network.hpp and routing/edge_memo.hpp.
///   Fails     never.
///   Source    design section 4.
struct Roads {
    explicit Roads(const navdata::Snapshot& world) : network(world) {}
    Network network;
    EdgeMemo memo;
};

}  // namespace omniway::routing
