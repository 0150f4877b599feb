#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "earth/coastline.hpp"
#include "readers/reading.hpp"

namespace omniway::readers {

/// The shores of a file together with the rings that were not used; a ring is what the counts call a row.
struct CoastlineReading : base::Loaded<std::vector<earth::CoastlineRing>> {
    ReadCounts counts;
};

/// Whether a file may be GeoJSON: its first character that is no blank opens an object.
bool looks_like_geojson(std::string_view bytes);

/// A coastline of land as GeoJSON.
///   Model     Polygons and MultiPolygons, alone, in features or in collections; each ring becomes a shore with the land on its
///             left, turned round where the file has it the other way (remark.ring_turned). Between two positions a line runs
///             the shorter way round, so that rings may be cut at the antimeridian or cross it. Heights are not looked at.
///   Domain    RFC 7946; longitude -180 to 180, latitude -90 to 90 degrees.
///   Accuracy  numbers as written.
///   Cost      about a hundred bytes of memory a position; a second time through the file where there is a fault to place.
///   Fails     coastline.not_json, coastline.not_geojson, coastline.other_system for a file of no use as a whole. Of single rings and
///             geometries, as diagnostics: coastline.not_an_area, coastline.no_geometry, coastline.wrong_type,
///             coastline.too_few_positions, coastline.ring_not_closed, coastline.out_of_range, coastline.half_way_round. Each with
///             file:line:column and the member it stands in, as a JSON pointer.
///   Source    RFC 7946, sections 3.1 and 4; RFC 6901 (pointers).
base::Result<CoastlineReading> read_geojson_coastline(std::string_view bytes, const std::string& file_name);

/// The same from a file on disk of at most 1 GiB; read.file_unreadable, read.file_too_large.
base::Result<CoastlineReading> read_geojson_coastline_file(const std::string& path);

/// Whether a file is to be read as a coastline: by its first bytes. A file that cannot be read is none.
bool is_geojson_file(const std::string& path);

}  // namespace omniway::readers
