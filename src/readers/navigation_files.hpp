#pragma once

#include <chrono>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "base/progress.hpp"
#include "base/result.hpp"
#include "readers/merge.hpp"
#include "readers/ourairports.hpp"
#include "readers/reading.hpp"

namespace omniway::readers {

/// What navigation files need from their reader's world.
struct ReadSetting {
    std::chrono::sys_days today;  // the date of files that tell none
    VariationAt variation_at;  // for stations without a declination of their own; called from several threads
};

/// What became of one file.
struct FileAccount {
    navdata::Source source;
    std::size_t size_bytes = 0;
    ReadCounts counts;
};

/// Several files read into one set of records: the diagnostics hold every row not used, `choices` every choice between two
/// records of one thing.
struct NavigationFiles : base::Loaded<navdata::Records> {
    std::vector<FileAccount> files;  // in the order given
    std::vector<MergeChoice> choices;

    ReadCounts counts() const;
};

/// Navigation data in any form that is known here, from any number of files, as one set of records.
///   Model     each file is recognised by its content, not by its name: ARINC 424 text, or one of the four tables of OurAirports.
///             Runways and frequencies of OurAirports whose airport is in none of the files are not used. Then merge().
///   Domain    regular files, each up to 1 GiB, read whole.
///   Accuracy  as the files.
///   Cost      the records, and the bytes of twice as many files at a time as there are processors: several files are read at
///             once, and what comes of it is the same as of one after the other.
///   Fails     for a file that is of no use as a whole, with what to do: read.no_files, read.file_missing, read.not_a_file,
///             read.file_unreadable, read.file_too_large, read.file_empty, read.file_binary, read.file_not_recognised,
///             read.column_missing, read.no_records; read.cancelled.
///   Source    docs/import.md.
base::Result<NavigationFiles> read_navigation_files(const std::vector<std::string>& paths,
                                                    const ReadSetting& setting,
                                                    const base::Progress& progress);

/// The same for bytes that are in memory under a name.
struct NamedBytes {
    std::string name;
    std::string_view bytes;
};
base::Result<NavigationFiles> read_navigation_bytes(const std::vector<NamedBytes>& files,
                                                    const ReadSetting& setting,
                                                    const base::Progress& progress);

}  // namespace omniway::readers
