#pragma once

#include <optional>
#include <string>

#include "base/result.hpp"

namespace omniway::store {

/// The part of a process's surroundings that decides where the atlas is: whoever starts the process reads them.
struct Environment {
    std::optional<std::string> omniway_atlas;  // OMNIWAY_ATLAS
    std::optional<std::string> xdg_data_home;  // XDG_DATA_HOME
    std::optional<std::string> home;           // HOME
};

/// Where the atlas is looked for and imported to when nobody says otherwise.
///   Model     OMNIWAY_ATLAS if set, else $XDG_DATA_HOME/omniway/atlas, else $HOME/.local/share/omniway/atlas. An empty variable
///             counts as unset; a relative XDG_DATA_HOME is ignored, as the specification demands.
///   Domain    any environment.
///   Accuracy  exact.
///   Cost      one string.
///   Fails     atlas.no_place: none of the three variables helps.
///   Source    XDG Base Directory Specification 0.8, "Basics" and "Environment variables".
base::Result<std::string> default_atlas_path(const Environment& environment);

/// The path given on the command line (--atlas) if there is one, else the default. An empty one is atlas.no_place.
base::Result<std::string> atlas_path(const std::optional<std::string>& given, const Environment& environment);

/// Makes the folders above the default place where they are missing, for their owner only (mode 0700), as the specification
/// asks of whoever writes there. Not for a path that was given by hand: there a missing folder is a slip.
/// Fails with atlas.folder_missing.
base::Result<void> make_folder_for(const std::string& path);

}  // namespace omniway::store
