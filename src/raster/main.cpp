#include <sys/resource.h>

#include <algorithm>
#include <cstdio>
#include <cstring>
#include <exception>
#include <string>
#include <vector>

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal_priv.h>

#include "base/result.hpp"
#include "raster/read_blocks.hpp"
#include "raster/write_raster.hpp"

namespace {

constexpr const char* usage =
    "omniway-raster read FILE...        elevations as blocks on standard output (docs/terrain-stream.md)\n"
    "omniway-raster write OUT.tif|.png  a raster from standard input\n"
    "Started by omniway; the one program of it that opens rasters.\n";

// One line: code, place and message, with tabs between, so that the program above takes them apart again.
int refuse(const omniway::base::Error& error) {
    std::string line = error.code + "\t" + error.where + "\t" + error.message;
    std::size_t tabs = 0;
    for (char& letter : line) {
        const bool separates = letter == '\t' && tabs < 2;
        tabs += separates ? 1 : 0;
        if (!separates && static_cast<unsigned char>(letter) < 32) {
            letter = ' ';
        }
    }
    std::fprintf(stderr, "%s\n", line.c_str());
    return 2;
}

// A raster that unpacks to more than the machine has takes this process down, not the machine.
void bound_memory() {
#ifndef __SANITIZE_ADDRESS__
    constexpr rlim_t most = rlim_t{4} << 30U;
    const rlimit limit{most, most};
    setrlimit(RLIMIT_AS, &limit);
#endif
    const rlimit no_core{0, 0};
    setrlimit(RLIMIT_CORE, &no_core);
}

}  // namespace

int main(int argc, char** argv) {
    const std::vector<std::string> words(argv + 1, argv + argc);
    if (words.empty() || words[0] == "--help" || (words[0] != "read" && words[0] != "write") ||
        (words[0] == "write" && words.size() != 2)) {
        std::fputs(usage, words.empty() || words[0] != "--help" ? stderr : stdout);
        return words.empty() || words[0] != "--help" ? 2 : 0;
    }
    bound_memory();
    CPLSetErrorHandler(CPLQuietErrorHandler);
    CPLSetConfigOption("GDAL_CACHEMAX", "64");
    if (words[0] == "write") {
        CPLSetConfigOption("GDAL_PAM_ENABLED", "NO");  // no .aux.xml beside what is written
    }
    GDALAllRegister();
    try {
        const auto done = words[0] == "read"
                              ? omniway::raster::read_blocks({words.begin() + 1, words.end()}, stdout)
                              : omniway::raster::write_raster(words[1], stdin);
        return done ? 0 : refuse(done.error());
    } catch (const std::exception& broken) {
        std::fprintf(stderr, "raster.failed\t\t%s\n", broken.what());
        return 70;
    }
}
