#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "base/bearing.hpp"
#include "base/progress.hpp"
#include "base/result.hpp"
#include "earth/magnetic_model.hpp"
#include "earth/position.hpp"
#include "navdata/provenance.hpp"
#include "readers/reading.hpp"

namespace omniway::readers {

/// The magnetic variation at a place and date; see earth::MagneticModel. May be empty.
using VariationAt = std::function<base::Variation(earth::Position, earth::DecimalYear)>;

/// The four tables of OurAirports that are read here.
enum class OurAirportsTable { navaids, airports, runways, frequencies };

/// What one table gave. OurAirports makes up idents ("AF-0005") for airports that it has no code for at first; where such
/// an airport has a four-letter ICAO location indicator of its own, `location_indicators` tells it, and the records still
/// have the ident of the table.
struct OurAirportsReading : Reading {
    std::map<std::string, std::string, std::less<>> location_indicators;
};

/// Which table the header row of a CSV text announces, if any.
std::optional<OurAirportsTable> ourairports_table(std::string_view bytes);

/// One table of OurAirports, the world's airports and radio aids as volunteers keep them.
///   Model     navaids.csv to stations, airports.csv to airports, runways.csv to two runway ends each, airport-frequencies.csv to
///             communications. A beacon or VOR whose DME answers on another channel becomes two stations, as it is two to tune. A
///             station's own declination is slaved_variation_deg; where blank, the model's variation at the source's date, marked
///             so. Thresholds are moved from the runway's end by the displacement. Service classes: docs/service-classes.md.
///   Domain    CSV (RFC 4180) in UTF-8; columns found by name, in any order, others passed over. source.reference_year is the date
///             of the data; name and date are kept, format and checksum filled in.
///   Accuracy  as published: declinations are whole degrees and often decades old.
///   Cost      about two microseconds a row.
///   Fails     read.file_not_recognised, read.column_missing; each row not used has its diagnostic at file:line:column.
///   Source    ourairports.com/help/data-dictionary.html (from memory where the files do not tell).
base::Result<OurAirportsReading> read_ourairports(std::string_view bytes, navdata::Source source,
                                                  const VariationAt& variation_at,
                                                  const base::Progress& progress);

/// The VHF frequency paired with a DME or TACAN channel such as "086X"; nothing for text that is no channel.
std::optional<base::Frequency> paired_frequency(std::string_view channel);

}  // namespace omniway::readers
