#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "base/progress.hpp"
#include "base/result.hpp"
#include "navdata/point_name.hpp"
#include "navdata/records.hpp"
#include "store/ground.hpp"

namespace omniway::store {

/// How many records of one kind there are: stations under the trade's word for their kind, the rest by what they are.
struct KindCount {
    std::string kind;  // "VOR/DME", "NDB", "fixes", "procedure legs" ...
    std::size_t number = 0;
    friend bool operator==(const KindCount&, const KindCount&) = default;
};

/// Counts by kind, always in the same order: stations by kind in alphabetical order, then all else in the order of Records.
std::vector<KindCount> count_by_kind(const navdata::Records& records);

/// What write_atlas() put where.
struct WriteReport {
    std::string path;  // the file itself, links followed
    std::vector<KindCount> counts;
    std::uint64_t size_bytes = 0;
    std::string checksum;                          // as Summary::checksum
    std::vector<std::string> removed_temporaries;  // leftovers of killed imports
    TerrainSummary terrain = {};
    std::size_t coastline_rings = 0;
};

/// Writes everything into one new atlas file that takes the place of the old one in a single step.
///   Model     built under a temporary name in the same folder, flushed to the disk, then renamed over the old file: at every
///             moment the path holds either the whole old atlas or the whole new one. The same records give the same bytes.
///             A file that is not an atlas is never overwritten. Leftovers of killed imports are removed on the way.
///   Domain    finite numbers; fewer than 2^32 records of a kind. The sign of a zero is not kept.
///   Accuracy  what is read back equals what was written, doubles to the last bit.
///   Cost      about 3 microseconds a row (docs/atlas.md, "Measured"); one temporary file as large as the atlas; one tile of
///             terrain at a time in memory.
///   Fails     atlas.cancelled, atlas.disk_full, atlas.folder_missing, atlas.not_writable, atlas.not_a_file,
///             atlas.not_replaced, atlas.write_failed, or the ground's own: nothing is left behind and an old atlas stays as it was.
///   Source    SQLite 3.40 file format; POSIX.1-2017 rename() and fsync(); docs/atlas.md.
base::Result<WriteReport> write_atlas(const navdata::Records& records, const std::string& path,
                                      const base::Progress& progress, const Ground& ground = {});

/// What is wanted from an atlas. Sources, stations, fixes, airways, airports, runways and grid minimums always come whole;
/// procedures, frequencies and sector altitudes only for the airports named here, unless everything is asked for.
struct Want {
    bool everything = false;
    std::vector<std::string> airports;
};

/// What an atlas says about itself.
struct Summary {
    std::string path;
    std::int32_t schema_version = 0;
    std::string
        checksum;  // of the navigation tables, 32 hexadecimal digits: two atlases of equal content have equal ones
    std::uint64_t size_bytes = 0;
    std::chrono::sys_seconds made_at;  // the file's time of last change
    std::vector<KindCount> counts;
    std::vector<navdata::Source> sources;
    TerrainSummary terrain = {};
    std::size_t coastline_rings = 0;
};

/// A name by which records point to another that is not in the atlas: expected where a source is only a part of the world.
struct UnresolvedName {
    std::string from;  // what points there: "airway rows", "procedure legs" ...
    navdata::PointName name;
    std::size_t records = 0;  // how many point there
};

/// What a full examination found. `problems` empty means that the file is whole.
struct VerifyReport {
    std::vector<std::string> problems;
    std::size_t names_checked = 0;
    std::vector<UnresolvedName> unresolved;
    std::size_t tiles_read = 0;
    std::size_t tiles_damaged = 0;
    bool whole() const { return problems.empty(); }
};

/// An opened atlas: the file from which a flight takes navigation data, proved whole at opening.
///   Model     read-only; opening checks application id, schema version and the checksum over every page that holds
///             navigation data, then reads nothing until asked. Terrain is proved tile by tile as it is read: a damaged tile is
///             unknown ground and told in `damaged`. The file may be replaced by an import while open (this one
///             goes on with the old content); overwritten in place, it is noticed and refused.
///   Domain    files that write_atlas() of the same schema version made.
///   Accuracy  values exactly as written.
///   Cost      opening about 0.3 ms and 0.2 ms a megabyte; reading about 0.6 microseconds a row, on up to three threads. Any
///             number of threads may ask; they take turns.
///   Fails     open(): atlas.missing, atlas.unreadable, atlas.foreign, atlas.older_schema, atlas.newer_schema, atlas.damaged;
///             records(), info(), coastline(), terrain(): atlas.damaged, atlas.changed. verify(): atlas.changed; damage is its answer.
///   Source    docs/atlas.md; docs/decisions/0011-atlas-checksum.md; SQLite 3.40 file format.
class Atlas {
public:
    static base::Result<Atlas> open(const std::string& path);

    Atlas(Atlas&&) noexcept;
    Atlas& operator=(Atlas&&) noexcept;
    ~Atlas();

    base::Result<navdata::Records> records(const Want& want) const;
    base::Result<Summary> info() const;
    base::Result<VerifyReport> verify() const;
    base::Result<std::vector<earth::CoastlineRing>> coastline() const;
    /// Its ground, loaded as it is asked for; the file stays open as long as that lives. Empty where the atlas has none.
    base::Result<earth::Terrain> terrain(std::shared_ptr<DamagedTiles> damaged,
                                         std::size_t bound_bytes = earth::Terrain::default_bound_bytes) const;

private:
    struct File;
    explicit Atlas(std::shared_ptr<File> file);
    std::shared_ptr<File> file_;
};

}  // namespace omniway::store
