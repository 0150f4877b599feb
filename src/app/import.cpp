#include "app/import.hpp"

#include <fstream>
#include <iterator>

#include "readers/arinc424.hpp"

namespace omniway::app {

base::Result<Imported> import_files(const std::vector<std::string>& files, const std::string& out,
                                    const base::Progress& progress) {
    Imported imported;
    std::ifstream in(files.front(), std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(in)), {});
    navdata::Source source;
    source.file = files.front();
    auto reading = readers::read_arinc424(bytes, source, progress);
    imported.rows = reading.counts.rows;
    imported.used = reading.counts.used;
    imported.not_used = reading.counts.not_used;
    imported.diagnostics = std::move(reading.diagnostics);
    auto written = store::write_atlas(reading.value, out, progress);
    if (!written) {
        return tl::unexpected(written.error());
    }
    imported.written = std::move(*written);
    return imported;
}

}  // namespace omniway::app
