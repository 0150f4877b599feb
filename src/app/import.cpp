#include "app/import.hpp"

#include <algorithm>
#include <iterator>

#include "readers/navigation_files.hpp"

namespace omniway::app {

base::Result<Imported> import_files(const std::vector<std::string>& files, const std::string& out,
                                    const Shipped& shipped, std::chrono::sys_days today,
                                    const base::Progress& progress) {
    const auto model = earth::MagneticModel::load(shipped.magnetic());
    if (!model) {
        return tl::unexpected(model.error());
    }
    auto read = readers::read_navigation_files(
        files,
        {today,
         [&](earth::Position place, earth::DecimalYear when) { return model->variation(place, when); }},
        progress);
    if (!read) {
        return tl::unexpected(read.error());
    }
    Imported imported;
    const readers::ReadCounts counts = read->counts();
    imported.rows = counts.rows;
    imported.used = counts.used;
    imported.not_used = counts.not_used;
    imported.diagnostics = std::move(read->diagnostics);
    imported.merged = std::move(read->choices);
    auto written = store::write_atlas(read->value, out, progress);
    if (!written) {
        return tl::unexpected(written.error());
    }
    imported.written = std::move(*written);
    // Which legs of airways can be joined is known only when all rows stand together; the rows themselves are in the atlas.
    base::Loaded<navdata::Snapshot> joined = navdata::Snapshot::build(std::move(read->value));
    std::move(joined.diagnostics.begin(), joined.diagnostics.end(), std::back_inserter(imported.diagnostics));
    return imported;
}

}  // namespace omniway::app
